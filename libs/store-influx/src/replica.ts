import type { ReplicaSource } from '@edge-margin/series';
import { type Reason, reason } from '@edge-margin/units';
import { backOffMs } from './back-off.js';
import { type Clock, systemClock } from './clock.js';
import { createRowDelivery, type Delivery } from './deliver-rows.js';
import { clientOf, type InfluxServer } from './influx-server.js';
import { createLineEncoder, type TagsOf } from './line-protocol.js';
import { createLineWriter } from './write-lines.js';

export interface ReplicaOptions extends InfluxServer {
  readonly store: ReplicaSource;
  readonly tagsOf: TagsOf;
  /** Name of the cursor in the store; `influx` where left out. */
  readonly name?: string;
  /** Most rows in one request, whole, >= 1; 5000 where left out. */
  readonly batchRows?: number;
  /** How long to wait for more rows when all are written, ms; 1000 where left out. */
  readonly idleMs?: number;
  /** Make the database where it is missing; true where left out. */
  readonly createDatabase?: boolean;
  /** How long `stop` goes on writing, ms; 5000 where left out. */
  readonly flushMs?: number;
  readonly clock?: Clock;
}

export interface ReplicaStatus {
  /** `up` when the last request was answered well, `down` before the first answer and after a failure. */
  readonly state: 'up' | 'down';
  readonly behindRows: number;
  /** Why the replica is down; null while it is up. */
  readonly lastError: (Reason & { readonly atMs: number }) | null;
}

/** Copies the local series to InfluxDB, in order, one request at a time. */
export interface Replica {
  readonly start: () => void;
  /** Writes what is waiting as far as time allows, then ends. What is left waits in the store. */
  readonly stop: () => Promise<void>;
  readonly status: () => ReplicaStatus;
}

/** While somebody must act first, the next attempt is made after this time. */
const misconfiguredMs = 60_000;
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
    idleMs = 1000,
    flushMs = 5000,
  } = options;
  const write = createLineWriter(options);
  const deliver = createRowDelivery(createLineEncoder(options.tagsOf), write);
  const createDatabase = options.createDatabase === false ? undefined : databaseMaker(options);
  const quit = new AbortController();
  const abandon = new AbortController();
  let up = false;
  let lastError: ReplicaStatus['lastError'] = null;
  let failures = 0;
  let askedAtMs = -Infinity;
  let running: Promise<void> | undefined;

  const succeed = (): void => {
    up = true;
    lastError = null;
    failures = 0;
  };
  const fail = (because: Reason): void => {
    up = false;
    lastError = { ...because, atMs: clock.now() };
  };
  const retryLater = (because: Reason): number => {
    failures += 1;
    fail(because);
    return backOffMs(failures, clock.random());
  };
  /** After a failure: how long to wait, ms. */
  const recover = async (failure: Exclude<Delivery, { kind: 'delivered' }>): Promise<number> => {
    if (failure.kind === 'retry') return retryLater(failure.because);
    fail(failure.because);
    const made = failure.because.code === 'replica-database-missing' && (await createDatabase?.()) === true;
    return made ? 0 : misconfiguredMs;
  };
  /** Nothing to write: now and then asks with an empty body whether it would be possible. */
  const probe = async (): Promise<number> => {
    if (up && clock.now() - askedAtMs < probeEveryMs) return idleMs;
    askedAtMs = clock.now();
    const outcome = await write('', abandon.signal);
    if (outcome.kind === 'retry' || outcome.kind === 'misconfigured') return recover(outcome);
    succeed();
    return idleMs;
  };
  /** One request's worth of work; how long to wait before the next, ms. */
  const step = async (): Promise<number> => {
    const rows = store.samplesAfter(store.readCursor(name), batchRows);
    const last = rows.at(-1);
    if (last === undefined) return probe();
    askedAtMs = clock.now();
    const delivery = await deliver(rows, abandon.signal);
    if (delivery.kind !== 'delivered') return recover(delivery);
    store.writeCursor(name, last.seq, delivery.refused);
    succeed();
    return rows.length < batchRows ? idleMs : 0;
  };
  const guardedStep = (): Promise<number> =>
    step().catch((error: unknown) =>
      retryLater(reason('replica-store-failed', `the local store could not be read: ${String(error)}`)),
    );
  const run = async (): Promise<void> => {
    while (!quit.signal.aborted) {
      const waitMs = await guardedStep();
      if (waitMs > 0) await clock.sleep(waitMs, quit.signal);
    }
  };
  const flush = async (): Promise<void> => {
    while (!abandon.signal.aborted && store.behind(name) > 0) {
      await guardedStep();
      if (!up) return;
    }
  };
  return {
    start: () => {
      if (running !== undefined) return;
      store.addReplica(name);
      running = run();
    },
    stop: async () => {
      quit.abort();
      const flushed = new AbortController();
      const writing = (running?.then(flush) ?? Promise.resolve()).finally(() => flushed.abort());
      await clock.sleep(flushMs, flushed.signal);
      abandon.abort();
      await writing.catch(() => undefined);
    },
    status: () => ({ state: up ? 'up' : 'down', behindRows: store.behind(name), lastError }),
  };
}

function databaseMaker(server: InfluxServer): () => Promise<boolean> {
  const client = clientOf(server);
  return () =>
    client.createDatabase(server.database).then(
      () => true,
      () => false, // not allowed: the failed write says what is missing
    );
}
