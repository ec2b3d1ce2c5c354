import type {
  GapsBody,
  KeepingBody,
  PartHealth,
  ReadingsNotUsedBody,
  ServiceHealthBody,
} from '@edge-margin/monitoring';
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

/** Three invented gaps of the last day, as the service words them. */
export function gapsFixture(): GapsBody {
  const [hourMs, nowMs] = [3_600_000, fixtureNowMs];
  return {
    gaps: [
      {
        what: 'messages',
        fromMs: nowMs - 0.2 * hourMs,
        toMs: nowMs - 0.1 * hourMs,
        count: null,
        because: reason(
          'session-lost',
          'the broker had not kept our session: what was sent while the link was down did not come',
        ),
      },
      {
        what: 'messages',
        fromMs: nowMs - 4 * hourMs,
        toMs: nowMs - 3.99 * hourMs,
        count: 37,
        because: reason('messages-lost', '37 messages on hall1/winder5/drive did not come'),
      },
      {
        what: 'replica influx',
        fromMs: nowMs - 20 * hourMs,
        toMs: nowMs - 14 * hourMs,
        count: 1_200_000,
        because: reason('replica-behind', 'InfluxDB was away for too long'),
      },
    ],
    more: false,
  };
}

export function keepingFixture(over: Partial<KeepingBody> = {}): KeepingBody {
  const dayMs = 86_400_000;
  const most = { value: 20e9, unit: 'By' } as const;
  const here = { where: 'here', atMost: null } as const;
  return {
    kept: [
      {
        ...here,
        name: 'raw-series',
        label: 'series as they came',
        keptMs: 2 * dayMs,
        atMost: most,
        setting: 'KEEP_RAW_SERIES_DAYS',
      },
      { ...here, name: 'records', label: 'alarm journal, rolls and gaps', keptMs: null, setting: null },
      {
        name: 'influxdb-roll-ups-10s',
        label: 'lowest, highest, mean and last of every 10 s',
        where: 'influxdb',
        keptMs: 90 * dayMs,
        atMost: null,
        setting: 'INFLUX_ROLL_UPS_10S_DAYS',
      },
    ],
    heldBack: null,
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
