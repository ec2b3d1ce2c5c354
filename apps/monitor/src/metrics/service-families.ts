import type { AlarmPriority, AlarmState, AlarmView } from '@edge-margin/alarms';
import type { PartState, ReadingsNotUsedBody } from '@edge-margin/monitoring';
import type { Journal } from '@edge-margin/journal';
import type { ReplicaStatus } from '@edge-margin/store-influx';
import type { Health } from '../health/open-health.js';
import type { Received } from '../ingest/broker-client.js';
import type { DelayHistogram } from './delay-histogram.js';
import type { Family, FamilySample } from './families.js';
import type { Tally } from './tally.js';

/** Where the figures come from; each is asked when somebody collects. */
export interface MetricSources {
  readonly build: Readonly<Record<string, string>>;
  readonly startedAtMs: number;
  readonly nowMs: number;
  readonly tally: Tally;
  readonly received: Received;
  readonly readingsNotUsed: ReadingsNotUsedBody;
  readonly journal: Pick<Journal, 'pendingBytes' | 'lastPosition' | 'durable' | 'firstPosition' | 'segments'>;
  readonly backlogRows: number;
  readonly stations: number;
  readonly alarms: readonly AlarmView[];
  readonly replica: ReplicaStatus | undefined;
  readonly outboxWaiting: number;
  readonly listeners: number;
  readonly liveEvents: number;
  readonly health: Pick<Health, 'body' | 'disk' | 'loopDelay' | 'clockJumps'>;
  readonly cpuS: number;
  readonly memory: { readonly rss: number; readonly heapUsed: number };
}

/** Every family of the service. Labels take only words that stand in the code: outcomes, reason codes, states, parts. */
export function serviceFamilies(sources: MetricSources): readonly Family[] {
  return [
    ...aboutMessages(sources),
    ...aboutStorage(sources),
    ...aboutReplica(sources),
    ...aboutAlarms(sources),
    ...aboutProcess(sources),
  ];
}

function aboutMessages({
  tally,
  received,
  readingsNotUsed,
  backlogRows,
  stations,
  listeners,
  liveEvents,
  outboxWaiting,
}: MetricSources): readonly Family[] {
  return [
    counter('messages_received', 'Messages taken from the broker.', received.messages),
    counter(
      'messages_oversize',
      'Messages whose payload was larger than anything downstream takes.',
      received.oversize,
    ),
    labelled(
      'counter',
      'messages',
      'Messages that were decoded, by what became of them.',
      'outcome',
      tally.messages,
    ),
    labelled(
      'counter',
      'readings_not_used',
      'Readings and messages that were not used, by the code of the reason, since the store was made.',
      'reason',
      Object.fromEntries(readingsNotUsed.byReason.map(({ code, count }) => [code, count])),
    ),
    labelled(
      'counter',
      'journal_rows',
      'Journal rows that were folded and stored, by kind.',
      'kind',
      tally.rows,
    ),
    histogram(
      'assessment_delay_seconds',
      'From the time stamp of a grid cell to the end of its assessment.',
      tally.assessmentDelay,
    ),
    gauge('fold_waiting_rows', 'Journal rows that are not assessed yet.', backlogRows),
    gauge('stations', 'Stations of the plant file.', stations),
    gauge('live_listeners', 'Pages that listen to the live stream.', listeners),
    counter('live_events', 'Events of the live stream.', liveEvents),
    gauge('outbox_waiting_messages', 'Messages that wait to be published.', outboxWaiting),
  ];
}

function aboutStorage({ journal, tally, health }: MetricSources): readonly Family[] {
  const disk = health.disk();
  return [
    gauge(
      'journal_waiting_rows',
      'Journal rows that are not on disk yet.',
      journal.lastPosition() - journal.durable(),
    ),
    gauge('journal_waiting_bytes', 'Bytes that are not in the journal on disk yet.', journal.pendingBytes()),
    gauge(
      'journal_kept_rows',
      'Journal rows that are kept.',
      journal.lastPosition() - journal.firstPosition() + 1,
    ),
    gauge(
      'journal_size_bytes',
      'Size of the journal on disk.',
      journal.segments().reduce((sum, { bytes }) => sum + bytes, 0),
    ),
    histogram(
      'journal_durable_delay_seconds',
      'From the arrival of a row to the news that it is on disk, for one row of each group commit.',
      tally.durableDelay,
    ),
    histogram('store_commit_delay_seconds', 'One transaction of the store.', tally.commitDelay),
    ...(disk === undefined
      ? []
      : [
          gauge('disk_free_bytes', 'Free space on the disk that holds DATA_DIR.', disk.freeBytes),
          gauge('disk_size_bytes', 'Size of the disk that holds DATA_DIR.', disk.sizeBytes),
        ]),
  ];
}

function aboutReplica({ replica, nowMs }: MetricSources): readonly Family[] {
  if (replica === undefined) return [];
  const { state, behindRows, oldestWaitingAtMs, setAsideRows, rollUps } = replica;
  const ageS = behindRows === 0 || oldestWaitingAtMs === null ? 0 : (nowMs - oldestWaitingAtMs) / 1000;
  return [
    gauge('replica_up', 'Whether InfluxDB answered the last request well.', Number(state === 'up')),
    gauge('replica_behind_rows', 'Rows that InfluxDB lacks.', behindRows),
    gauge('replica_oldest_age_seconds', 'Age of the oldest row that InfluxDB lacks.', Math.max(0, ageS)),
    gauge('replica_roll_ups_behind_rows', 'Rows of roll-ups that InfluxDB lacks.', rollUps.behindRows),
    counter('replica_set_aside_rows', 'Rows that InfluxDB will never take.', setAsideRows),
  ];
}

const states: readonly Exclude<AlarmState, 'NORM'>[] = ['UNACK', 'ACKED', 'RTNUN'];
const priorities: readonly AlarmPriority[] = ['low', 'medium', 'high'];

function aboutAlarms({ alarms, tally }: MetricSources): readonly Family[] {
  const samples = (): FamilySample[] =>
    states.flatMap((state) =>
      priorities.map((priority) => ({
        labels: { state, priority },
        value: alarms.filter((alarm) => alarm.state === state && alarm.priority === priority).length,
      })),
    );
  return [
    {
      name: named('alarms'),
      help: 'Alarms that are active or not acknowledged, by state and priority.',
      kind: 'gauge',
      samples,
    },
    counter('alarm_transitions', 'Transitions of alarms.', tally.alarmTransitions),
  ];
}

const partStates: readonly PartState[] = ['ok', 'degraded', 'down', 'off'];

function aboutProcess({ build, startedAtMs, health, cpuS, memory }: MetricSources): readonly Family[] {
  const delay = health.loopDelay();
  const part = named('part_state');
  return [
    {
      name: part,
      help: 'State of each part of the service.',
      kind: 'stateset',
      samples: () =>
        health.body().parts.flatMap((one) =>
          partStates.map((state) => ({
            labels: { part: one.part, [part]: state },
            value: Number(one.state === state),
          })),
        ),
    },
    {
      name: named('event_loop_delay_seconds'),
      help: 'How late a timer of 10 ms comes, over the last ten seconds.',
      kind: 'summary',
      samples: () =>
        delay === null
          ? []
          : [
              { labels: { quantile: '0.5' }, value: delay.p50S },
              { labels: { quantile: '0.9' }, value: delay.p90S },
              { labels: { quantile: '0.99' }, value: delay.p99S },
              { labels: { quantile: '1' }, value: delay.maxS },
            ],
    },
    counter('clock_jumps', 'Jumps of the clock of this machine by two seconds or more.', health.clockJumps()),
    counter('process_cpu_seconds', 'Processor time of the service, its threads included.', cpuS),
    gauge('process_resident_bytes', 'Memory of the service.', memory.rss),
    gauge('process_heap_bytes', 'Of this the JavaScript heap in use.', memory.heapUsed),
    gauge('start_time_seconds', 'When the service was started, in seconds since 1970.', startedAtMs / 1000),
    {
      name: named('build'),
      help: 'What runs here.',
      kind: 'info',
      samples: () => [{ suffix: '_info', labels: build, value: 1 }],
    },
  ];
}

function named(name: string): string {
  return `edge_margin_${name}`;
}

function gauge(name: string, help: string, value: number): Family {
  return { name: named(name), help, kind: 'gauge', samples: () => [{ value }] };
}

function counter(name: string, help: string, value: number): Family {
  return { name: named(name), help, kind: 'counter', samples: () => [{ value }] };
}

function labelled(
  kind: 'counter',
  name: string,
  help: string,
  label: string,
  values: Readonly<Record<string, number>>,
): Family {
  const samples = (): FamilySample[] =>
    Object.entries(values).map(([word, value]) => ({ labels: { [label]: word }, value }));
  return { name: named(name), help, kind, samples };
}

function histogram(name: string, help: string, delays: DelayHistogram): Family {
  const samples = (): FamilySample[] => {
    const cumulative = delays.cumulative();
    const buckets = cumulative.map((value, bucket) => ({
      suffix: '_bucket',
      labels: { le: boundOf(delays.bounds[bucket]) },
      value,
    }));
    return [
      ...buckets,
      { suffix: '_count', value: cumulative.at(-1) ?? 0 },
      { suffix: '_sum', value: delays.sumS() },
    ];
  };
  return { name: named(name), help, kind: 'histogram', samples };
}

/** Bounds are written as floats, so that `1` and `1.0` are not two (OpenMetrics 1.0, "Considerations: canonical numbers"). */
function boundOf(bound: number | undefined): string {
  if (bound === undefined) return '+Inf';
  return Number.isInteger(bound) ? `${bound}.0` : String(bound);
}
