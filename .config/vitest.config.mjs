import { defineConfig } from 'vitest/config';
import { containerEngineAnswers } from '../tests/services/support/provide.mjs';

const project = (name, include, more = {}) => ({
  extends: true,
  test: { name, include, ...more },
});

/** The image needs a container engine. Without one its tests are no part of a run, and the closing lines say so. */
const engine = containerEngineAnswers();
const withoutEngine =
  'the container image was not tried, because no container engine answers; where one does: npx vitest run --config .config/vitest.config.mjs --project deploy';

export default defineConfig({
  root: new URL('..', import.meta.url).pathname,
  resolve: { conditions: ['source', 'node', 'import', 'default'] },
  ssr: { resolve: { conditions: ['source', 'node', 'import', 'default'] } },
  oxc: { decorator: { legacy: true } },
  test: {
    reporters: [
      'default',
      [
        new URL('./closing-line-reporter.mjs', import.meta.url).pathname,
        { remark: engine || process.argv.includes('--project') ? undefined : withoutEngine },
      ],
    ],
    projects: [
      // A test that is slow on a busy machine is not a broken one: limits are there for what hangs.
      project('unit', ['libs/*/src/**/*.test.ts', 'apps/*/src/**/*.test.ts'], { testTimeout: 60_000 }),
      project('architecture', ['tests/architecture/**/*.test.ts'], {
        testTimeout: 300_000,
        hookTimeout: 120_000,
      }),
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
      ...(engine
        ? [
            project('deploy', ['tests/deploy/**/*.test.ts'], {
              testTimeout: 300_000,
              hookTimeout: 300_000,
              fileParallelism: false,
            }),
          ]
        : []),
    ],
  },
});
