import type { Journal } from '@edge-margin/journal';
import { reportedTroubles } from '@edge-margin/monitoring';
import type { Replica } from '@edge-margin/store-influx';
import type { Store } from '@edge-margin/store-sqlite';
import { reason } from '@edge-margin/units';
import { performance } from 'node:perf_hooks';
import type { Logger } from 'pino';
import type { BrokerClient } from '../ingest/broker-client.js';
import type { LiveHub } from '../live/live-hub.js';
import type { Tally } from '../metrics/tally.js';
import type { Pipeline } from '../monitoring/pipeline.js';
import type { Present } from '../monitoring/present.js';
import { clockNotSeen, type ClockWatch, watchClock } from './clock-watch.js';
import { type DiskSpace, diskSpace } from './disk-space.js';
import { HealthWatch } from './health-watch.js';
import { type LoopDelay, watchLoop } from './loop-watch.js';
import type { PartReading } from './part-reading.js';
import { brokerPart } from './parts/broker-part.js';
import { clockPart } from './parts/clock-part.js';
import { diskPart } from './parts/disk-part.js';
import { foldPart } from './parts/fold-part.js';
import { journalPart } from './parts/journal-part.js';
import { livePart } from './parts/live-part.js';
import { outboxPart } from './parts/outbox-part.js';
import { type ProcessFigures, processPart } from './parts/process-part.js';
import { type ReplicaLimits, replicaPart } from './parts/replica-part.js';
import { storePart } from './parts/store-part.js';
import { showAhead } from './shown-ahead.js';

/** The parts that are looked at. */
export interface WatchedParts {
  readonly version: string;
  readonly dataDirectory: string;
  readonly journal: Journal;
  readonly store: Pick<Store, 'outbox'>;
  readonly pipeline: Pick<Pipeline, 'monitor' | 'model' | 'backlog' | 'failure'>;
  readonly broker: BrokerClient;
  readonly replica: Pick<Replica, 'status'> | undefined;
  readonly replicaLimits: ReplicaLimits;
  readonly hub: LiveHub;
  readonly present: Pick<Present, 'alarms' | 'take'>;
  readonly tally: Tally;
  readonly log: Pick<Logger, 'error' | 'warn'>;
  readonly now: () => number;
}

/** The service's health: looked at every other second, answered whenever somebody asks. */
export interface Health extends Pick<HealthWatch, 'body' | 'readiness'> {
  readonly start: () => void;
  readonly stop: () => void;
  /** Figures that only this watch takes, for those who collect them. */
  readonly disk: () => DiskSpace | undefined;
  readonly loopDelay: () => LoopDelay | null;
  readonly clockJumps: () => number;
}

const lookEveryMs = 2000;
/** Looks in a span of the event loop, and in one of the delays. */
const looksPerLoopSpan = 5;
const looksPerDelaySpan = 15;

/** Opens the watch; nothing is looked at on its own account before `start`. */
export function openHealth(parts: WatchedParts): Health {
  const steadyMs = (): number => performance.now();
  const loop = watchLoop();
  let clock: ClockWatch = watchClock(clockNotSeen, parts.now(), steadyMs());
  let space: DiskSpace | undefined;
  let cpu = { usage: process.cpuUsage(), atMs: steadyMs(), ratio: null as number | null };
  let outbox = { first: undefined as string | undefined, isStuck: false };
  let looks = 0;
  let timer: NodeJS.Timeout | undefined;

  const reported = reportedTroubles(parts.pipeline.monitor);
  let diskStage: ReturnType<typeof diskPart>['stage'] = reported.get('disk-space')?.reported ?? null;
  const ahead = showAhead({
    journal: parts.journal,
    pipeline: parts.pipeline,
    now: parts.now,
    show: (view) => {
      parts.log.warn(
        { alarm: view.alarmKey, state: view.state, because: view.because.text },
        'alarm; it cannot be recorded yet',
      );
      parts.present.take({ kind: 'alarm-view', view });
      parts.hub.send({ type: 'alarm', data: view });
    },
  });
  const watch = new HealthWatch({
    version: parts.version,
    read,
    report: ahead.report,
    reported,
    alarms: () => parts.present.alarms(),
    now: parts.now,
    steadyMs,
  });

  function read(): readonly PartReading[] {
    const { broker, hub, journal, now, pipeline, replica, replicaLimits, store, tally } = parts;
    const disk = diskPart(space, diskStage);
    diskStage = disk.stage;
    return [
      brokerPart(broker),
      journalPart(journal, tally.durableDelay),
      storePart(pipeline, tally.commitDelay),
      foldPart(pipeline, pipeline.model?.stations.size ?? 0, tally),
      livePart(hub),
      readSafely('outbox', () => outboxPart(store.outbox, broker.link().state === 'up', outbox.isStuck)),
      readSafely('replica', () => replicaPart(replica?.status(), replicaLimits, now())),
      disk,
      clockPart(clock, steadyMs()),
      processPart(loop.delay(), processFigures(cpu.ratio)),
    ];
  }

  async function look(): Promise<void> {
    looks += 1;
    clock = watchClock(clock, parts.now(), steadyMs());
    if (looks % looksPerLoopSpan === 0) {
      loop.beginSpan();
      cpu = cpuSince(cpu, steadyMs());
    }
    if (looks % looksPerDelaySpan === 0) {
      const { assessmentDelay, commitDelay, durableDelay } = parts.tally;
      for (const delay of [assessmentDelay, commitDelay, durableDelay]) delay.beginSpan();
    }
    outbox = outboxSince(outbox.first, parts.store.outbox);
    space = await diskSpace(parts.dataDirectory);
    if (timer === undefined) return;
    ahead.look();
    watch.look();
  }

  /** A look that fails must not end the service that it looks after. */
  function lookSafely(): void {
    look().catch((error: unknown) => {
      parts.log.error({ err: error }, 'looking after the service’s own health failed; it is tried again');
    });
  }

  return {
    body: () => watch.body(),
    readiness: () => watch.readiness(),
    start: () => {
      timer = setInterval(lookSafely, lookEveryMs);
      lookSafely();
    },
    stop: () => {
      clearInterval(timer);
      timer = undefined;
      loop.stop();
    },
    disk: () => space,
    loopDelay: loop.delay,
    clockJumps: () => clock.jumps,
  };
}

/** A part that has to ask a file for its figures: where the file cannot be read, that is what is said of it. */
function readSafely(part: PartReading['part'], read: () => PartReading): PartReading {
  try {
    return read();
  } catch (error) {
    const because = [reason('cannot-be-read', (error as Error).message)];
    return { part, state: 'down', because, blocks: false, figures: [], troubles: [] };
  }
}

/** Stuck is an outbox whose first message is the same as at the last look. */
function outboxSince(
  before: string | undefined,
  outbox: Pick<Store['outbox'], 'pending'>,
): { first: string | undefined; isStuck: boolean } {
  try {
    const first = outbox.pending(1)[0]?.id;
    return { first, isStuck: first !== undefined && first === before };
  } catch {
    return { first: undefined, isStuck: false };
  }
}

function processFigures(cpuRatio: number | null): ProcessFigures {
  const { rss, heapUsed } = process.memoryUsage();
  return { residentBytes: rss, heapBytes: heapUsed, cpuRatio };
}

interface CpuSpan {
  readonly usage: NodeJS.CpuUsage;
  readonly atMs: number;
  readonly ratio: number | null;
}

function cpuSince(before: CpuSpan, atMs: number): CpuSpan {
  const usage = process.cpuUsage();
  const usedMs = (usage.user + usage.system - before.usage.user - before.usage.system) / 1000;
  return { usage, atMs, ratio: usedMs / (atMs - before.atMs) };
}
