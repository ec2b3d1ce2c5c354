import { defineConfig } from 'vitest/config';

const project = (name, include, more = {}) => ({
  extends: true,
  test: { name, include, ...more },
});

export default defineConfig({
  root: new URL('..', import.meta.url).pathname,
  resolve: { conditions: ['source', 'node', 'import', 'default'] },
  ssr: { resolve: { conditions: ['source', 'node', 'import', 'default'] } },
  oxc: { decorator: { legacy: true } },
  test: {
    reporters: ['default', new URL('./closing-line-reporter.mjs', import.meta.url).pathname],
    projects: [
      project('unit', ['libs/*/src/**/*.test.ts', 'apps/*/src/**/*.test.ts']),
      project('architecture', ['tests/architecture/**/*.test.ts'], { testTimeout: 120_000 }),
      project('reference', ['tests/reference/**/*.test.ts'], { testTimeout: 120_000 }),
      project('replay', ['tests/replay/**/*.test.ts'], { testTimeout: 120_000 }),
      project('reports', ['tests/reports/**/*.test.ts'], { testTimeout: 240_000 }),
      project('services', ['tests/services/**/*.test.ts'], {
        testTimeout: 120_000,
        hookTimeout: 120_000,
        fileParallelism: false,
      }),
      project('faults', ['tests/faults/**/*.test.ts'], {
        testTimeout: 600_000,
        hookTimeout: 120_000,
        fileParallelism: false,
      }),
      project('browser', ['tests/browser/**/*.test.ts'], {
        testTimeout: 240_000,
        hookTimeout: 240_000,
        fileParallelism: false,
      }),
    ],
  },
});
