import type { ReplicaSource, RollUpSource } from '@edge-margin/series';
import { type Clock, systemClock } from './clock.js';
import { createRowDelivery } from './deliver-rows.js';
import { clientOf, type InfluxServer } from './influx-server.js';
import { createLane, type Lane, type LaneStep } from './lane.js';
import { createLineEncoder, type TagsOf } from './line-protocol.js';
import type { ReplicaStatus } from './replica-status.js';
import { createRollUpReplication } from './replicate-roll-ups.js';
import { defaultRollUpsKeptMs, type RollUpsKept } from './roll-up-layout.js';
import { createRowReplication } from './replicate-rows.js';
import { createLineWriter, type LineWriter, packLines } from './write-lines.js';

export interface ReplicaOptions extends InfluxServer {
  readonly store: ReplicaSource;
  /** The roll-ups to copy too; none where left out. */
  readonly rollUps?: RollUpSource;
  /** How long the retention policies of the roll-ups keep, where they are made here; 90 days, 730 days and without end where left out. */
  readonly rollUpsKeptMs?: RollUpsKept;
  readonly tagsOf: TagsOf;
  /** Name of the cursor in the store; `influx` where left out. */
  readonly name?: string;
  /** Most rows in one request, whole, >= 1; 5000 where left out. */
  readonly batchRows?: number;
  /** Rows a second while a backlog is brought up, > 0; 10 000 where left out. Where more than half of that comes in, twice what comes in. */
  readonly catchUpRowsPerS?: number;
  /** How long to wait for more rows when all are written, ms; 1000 where left out. */
  readonly idleMs?: number;
  /** Make database and retention policies where they are missing and the account may; true where left out. Never with a token. */
  readonly createDatabase?: boolean;
  /** How long `stop` goes on writing, ms; 5000 where left out. */
  readonly flushMs?: number;
  readonly clock?: Clock;
}

/** Copies the local series to InfluxDB, in order, one request at a time, and the roll-ups beside them. */
export interface Replica {
  readonly start: () => void;
  /** Writes what is waiting as far as time allows, then ends. What is left waits in the store. */
  readonly stop: () => Promise<void>;
  readonly status: () => ReplicaStatus;
}

/** With nothing to write, ask this often whether writing would be possible. */
const probeEveryMs = 30_000;

/**
 * Makes a replica. It never throws after this call: what fails is in its status, and is tried again for as long as it takes.
 * @throws RangeError for an address or a database name that cannot be one.
 */
export function createReplica(options: ReplicaOptions): Replica {
  const {
    store,
    clock = systemClock,
    name = 'influx',
    batchRows = 5000,
    catchUpRowsPerS = 10_000,
    idleMs = 1000,
    flushMs = 5000,
  } = options;
  const quit = new AbortController();
  const abandon = new AbortController();
  const mayCreate = options.createDatabase !== false && options.token === undefined;
  const { rows, lane } = rowLane();
  const rollUpLane = options.rollUps === undefined ? undefined : rollUpsLane(options.rollUps);
  let running: Promise<unknown> | undefined;

  function rowLane(): { rows: ReturnType<typeof createRowReplication>; lane: Lane } {
    const write = createLineWriter(options);
    const probe = prober(write, clock, idleMs, abandon.signal, () => made.health().up);
    const replication = createRowReplication({
      ...{ store, name, batchRows, idleMs, catchUpRowsPerS, clock, probe },
      deliver: createRowDelivery(createLineEncoder(options.tagsOf), write, packLines),
      signal: abandon.signal,
    });
    const createDatabase = mayCreate ? databaseMaker(options) : undefined;
    const made = createLane(async () => mended(await replication.step(), createDatabase), clock);
    return { rows: replication, lane: made };
  }
  function rollUpsLane(source: RollUpSource): Lane {
    const { tagsOf } = options;
    const parts = { source, name, tagsOf, idleMs, clock, server: options, signal: abandon.signal };
    const keptMs = options.rollUpsKeptMs ?? defaultRollUpsKeptMs;
    return createLane(createRollUpReplication({ ...parts, createPolicies: mayCreate, keptMs }), clock);
  }
  const waiting = lastRead(
    () => {
      const oldest = store.samplesAfter(store.readCursor(name), 1)[0];
      return { behindRows: store.behind(name), oldestWaitingAtMs: oldest?.sample.atMs ?? null };
    },
    { behindRows: 0, oldestWaitingAtMs: null },
  );
  const rollUpsBehind = lastRead(() => options.rollUps?.behind(name) ?? 0, 0);
  const flush = async (): Promise<void> => {
    while (!abandon.signal.aborted && store.behind(name) > 0) {
      await lane.once();
      if (!lane.health().up) return;
    }
  };
  return {
    start: () => {
      if (running !== undefined) return;
      store.addReplica(name);
      options.rollUps?.addReplica(name);
      running = Promise.all([lane.run(quit.signal), rollUpLane?.run(quit.signal)]);
    },
    stop: async () => {
      quit.abort();
      const flushed = new AbortController();
      const writing = (running?.then(flush) ?? Promise.resolve()).finally(() => flushed.abort());
      await clock.sleep(flushMs, flushed.signal);
      abandon.abort();
      await writing.catch(() => undefined);
    },
    status: () => {
      const { up, trouble, lastError } = lane.health();
      const ofRollUps = rollUpLane?.health();
      return {
        ...{ state: up ? 'up' : 'down', trouble, lastError },
        ...waiting(),
        catchingUp: rows.catchingUp(),
        rowsPerS: rows.rowsPerS(),
        setAsideRows: rows.setAsideRows(),
        rollUps: {
          state: (ofRollUps?.lastError ?? null) === null ? 'up' : 'down',
          trouble: ofRollUps?.trouble ?? 'none',
          lastError: ofRollUps?.lastError ?? null,
          behindRows: rollUpsBehind(),
        },
      };
    },
  };
}

/** What the local store says; what it said last where it cannot be read: the lane meets the same failure, and tells of it. */
function lastRead<T>(read: () => T, before: T): () => T {
  let last = before;
  return () => {
    try {
      last = read();
    } catch {
      // As said above.
    }
    return last;
  };
}

/** With nothing to write: now and then asks with an empty body whether it would be possible. */
function prober(
  write: LineWriter,
  clock: Clock,
  idleMs: number,
  signal: AbortSignal,
  isUp: () => boolean,
): () => Promise<LaneStep> {
  let askedAtMs = -Infinity;
  return async () => {
    if (isUp() && clock.now() - askedAtMs < probeEveryMs) return { kind: 'done', waitMs: idleMs };
    askedAtMs = clock.now();
    const outcome = await write('', signal);
    // An empty body is nothing to InfluxDB 1.x and refused by 2.x: both would take lines.
    if (outcome.kind === 'retry' || outcome.kind === 'misconfigured') return outcome;
    return { kind: 'done', waitMs: idleMs };
  };
}

async function mended(
  step: LaneStep,
  createDatabase: (() => Promise<boolean>) | undefined,
): Promise<LaneStep> {
  if (step.kind !== 'misconfigured' || step.because.code !== 'replica-database-missing') return step;
  return { ...step, mended: (await createDatabase?.()) === true };
}

function databaseMaker(server: InfluxServer): () => Promise<boolean> {
  const client = clientOf(server);
  return () =>
    client.createDatabase(server.database).then(
      () => true,
      () => false, // not allowed: the failed write says what is missing
    );
}
