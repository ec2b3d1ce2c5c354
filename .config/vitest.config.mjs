import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';
import { containerEngineAnswers } from '../tests/services/support/provide.mjs';

const project = (name, include, more = {}) => ({
  extends: true,
  test: { name, include, ...more },
});

/**
 * Vitest runs one group after the other and the files of a group side by side, in processes of their own. Left to itself it takes one process
 * fewer than there are cores, which on two cores is one.
 * - What computes keeps every core busy with one file each.
 * - What waits (for brokers, databases, pages, clocks) leaves the cores idle half of the time, so there is one file more; at most four, for each
 *   brings services and perhaps a browser along.
 * - What builds an image wants the machine for itself.
 */
const cores = availableParallelism();
const computes = { maxWorkers: cores, sequence: { groupOrder: 1 } };
const waits = { maxWorkers: Math.min(cores + 1, 4), sequence: { groupOrder: 2 } };
const builds = { maxWorkers: 1, sequence: { groupOrder: 3 } };

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
    // A test that is slow on a busy machine is not a broken one: limits are there for what hangs.
    expect: { poll: { timeout: 30_000 } },
    projects: [
      project('unit', ['libs/*/src/**/*.test.ts', 'apps/*/src/**/*.test.ts'], {
        ...computes,
        testTimeout: 60_000,
      }),
      project('architecture', ['tests/architecture/**/*.test.ts'], {
        ...computes,
        testTimeout: 300_000,
        hookTimeout: 120_000,
      }),
      project('reference', ['tests/reference/**/*.test.ts'], { ...computes, testTimeout: 120_000 }),
      project('replay', ['tests/replay/**/*.test.ts'], { ...computes, testTimeout: 120_000 }),
      project('reports', ['tests/reports/**/*.test.ts'], { ...computes, testTimeout: 240_000 }),
      project('services', ['tests/services/**/*.test.ts'], {
        ...waits,
        testTimeout: 120_000,
        hookTimeout: 120_000,
      }),
      project('faults', ['tests/faults/**/*.test.ts'], {
        ...waits,
        testTimeout: 600_000,
        hookTimeout: 120_000,
      }),
      project('browser', ['tests/browser/**/*.test.ts'], {
        ...waits,
        testTimeout: 240_000,
        hookTimeout: 240_000,
      }),
      ...(engine
        ? [
            project('deploy', ['tests/deploy/**/*.test.ts'], {
              ...builds,
              testTimeout: 300_000,
              hookTimeout: 300_000,
            }),
          ]
        : []),
    ],
  },
});
