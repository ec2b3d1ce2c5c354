import type { PartHealth, ReadingsNotUsedBody, ServiceHealthBody } from '@edge-margin/monitoring';
import { reason } from '../../libs/units/src/index.js';
import { fixtureNowMs } from '../../apps/console/src/fixtures/station-fixtures.js';

const sinceMs = fixtureNowMs - 3 * 3_600_000;

function part(
  name: PartHealth['part'],
  figures: PartHealth['figures'],
  over: Partial<PartHealth> = {},
): PartHealth {
  return { part: name, state: 'ok', sinceMs, because: [], figures, ...over };
}

/** An invented service with one part down, one degraded and one not set up. */
export function healthFixture(over: Partial<ServiceHealthBody> = {}): ServiceHealthBody {
  return {
    nowMs: fixtureNowMs,
    startedAtMs: sinceMs,
    version: '0.1.0',
    state: 'down',
    parts: [
      part('broker', [
        { name: 'messages', label: 'messages a second', value: 998.6, unit: '1/s' },
        { name: 'last-message', label: 'last message', value: fixtureNowMs - 1000, unit: 'instant' },
        { name: 'subscriptions', label: 'subscriptions', value: 6, unit: 'count' },
      ]),
      part('journal', [
        { name: 'pending-rows', label: 'rows not yet on disk', value: 12, unit: 'count' },
        { name: 'bytes', label: 'size', value: 1.34e9, unit: 'By' },
      ]),
      part('store', [
        { name: 'write-p50', label: 'write, median', value: 0.0021, unit: 's' },
        { name: 'write-p99', label: 'write, 99 in 100', value: 0.0184, unit: 's' },
      ]),
      part('fold', [
        { name: 'lag-p50', label: 'source to assessment, median', value: 0.41, unit: 's' },
        { name: 'lag-p99', label: 'source to assessment, 99 in 100', value: 1.2, unit: 's' },
        { name: 'behind-rows', label: 'journal rows behind', value: 0, unit: 'count' },
      ]),
      part('live', [{ name: 'pages', label: 'open pages', value: 3, unit: 'count' }]),
      part('outbox', [{ name: 'waiting', label: 'waiting', value: 0, unit: 'count' }]),
      part(
        'replica',
        [
          { name: 'behind-rows', label: 'rows behind', value: 184_250, unit: 'count' },
          { name: 'oldest', label: 'oldest row waits', value: 5_400, unit: 's' },
        ],
        {
          state: 'degraded',
          sinceMs: fixtureNowMs - 5_400_000,
          because: [reason('replica-behind', 'InfluxDB refuses the connection; it is tried again')],
        },
      ),
      part(
        'disk',
        [
          { name: 'free', label: 'free', value: 4.1e8, unit: 'By' },
          { name: 'free-ratio', label: 'free share', value: 0.013, unit: 'ratio' },
        ],
        {
          state: 'down',
          sinceMs: fixtureNowMs - 600_000,
          because: [reason('disk-full', 'the disk of DATA_DIR is nearly full: 0.4 GB are left')],
        },
      ),
      part('clock', [{ name: 'step', label: 'last step', value: null, unit: 's' }]),
      part('process', [
        { name: 'event-loop-p99', label: 'event-loop delay, 99 in 100', value: 0.0043, unit: 's' },
        { name: 'memory', label: 'memory', value: 2.31e8, unit: 'By' },
      ]),
    ],
    alarms: [],
    ...over,
  };
}

export function notUsedFixture(text = 'the value is no number'): ReadingsNotUsedBody {
  const last = { topic: 'hall1/winder5/speed', sample: '{"v":"abc"}', stationKey: 'w5/a', signal: 'speed' };
  return {
    total: 12_345,
    byReason: [
      {
        code: 'not-a-number',
        count: 12_300,
        lastAtMs: fixtureNowMs - 60_000,
        last: { ...last, because: reason('not-a-number', text) },
      },
      {
        code: 'late',
        count: 45,
        lastAtMs: fixtureNowMs - 86_400_000,
        last: { ...last, because: reason('late', 'it came later than the allowance') },
      },
    ],
  };
}
