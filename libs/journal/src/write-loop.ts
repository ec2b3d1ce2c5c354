import { JournalError, journalErrorFor } from './journal-error.js';
import type { Batch, PendingBatches } from './pending-batches.js';
import { type Segment, segmentFile } from './segment.js';
import type { WriteReply } from './segment-writer.mjs';
import type { Writer } from './start-writer-thread.js';

/**
 * When a segment is closed and the next begun, and how long to wait: before a failed write is tried again, and for company. Rows of a burst wait
 * until nothing has come for a moment, but not longer than `lingerMs`; where rows trickle in, transactions keep `pauseMs` apart.
 */
export interface WriteLoopOptions {
  readonly directory: string;
  readonly segmentMaxBytes: number;
  readonly segmentMaxAgeMs: number;
  readonly retryMs: number;
  readonly lingerMs: number;
  readonly pauseMs: number;
}

/**
 * So many rows within so long are a burst or a backlog. Less than brokers commonly send ahead of acknowledgements (20), so that a backlog flows
 * unhindered.
 */
const burstRows = 16;
const burstMs = 4;
/** So many rows are company enough, however they came: well below the hundred that a broker may send us ahead of acknowledgements. */
const companyRows = 64;
/** So long nothing came: the burst is over, or the broker waits for our acknowledgements. */
const quietMs = 1;

export interface WriteLoopEvents {
  /** The batch is on disk, in this segment. */
  readonly written: (segment: Segment) => void;
  readonly failed: (error: JournalError) => void;
  readonly recovered: () => void;
}

export interface WriteLoop {
  /** Something is pending. It goes out with what comes soon after, at the latest when its time to linger is over and the writer free. */
  readonly nudge: () => void;
  /** Hands over what is pending now, and tries a failed write again without waiting. */
  readonly hurry: () => void;
  readonly bytesInFlight: () => number;
  readonly failure: () => JournalError | undefined;
  /** Writes what is pending, or fails at it once more, and ends the writer. */
  readonly close: () => Promise<void>;
}

/**
 * Keeps the writer busy: one batch at a time, everything that came meanwhile in the next one. The batch stays here until the writer
 * reports it on disk, so a failed write, or a writer that died, is simply tried again; the writer skips rows that did get written.
 */
export function startWriteLoop(
  options: WriteLoopOptions,
  pending: PendingBatches,
  live: Segment | undefined,
  startWriter: () => Writer,
  events: WriteLoopEvents,
): WriteLoop {
  let writer: Writer | undefined = begin();
  let segment = live;
  let inFlight: { readonly batch: Batch; readonly into: Segment } | undefined;
  let scheduled: NodeJS.Immediate | undefined;
  let lingering: NodeJS.Timeout | undefined;
  let lookedAt = { rows: 0, sinceMs: 0 };
  let sentAtMs = -Infinity;
  let pausing = false;
  /** Rows come so many or so fast that there is no point in a pause. */
  let isBurst = false;
  /** How many rows there were when the last few milliseconds began. */
  let lately = { rows: 0, sinceMs: 0 };
  let retry: NodeJS.Timeout | undefined;
  let failure: JournalError | undefined;
  let settled: (() => void) | undefined;

  function send(): void {
    clearImmediate(scheduled);
    clearTimeout(lingering);
    scheduled = undefined;
    lingering = undefined;
    if (inFlight !== undefined || failure?.code === 'corrupt') return;
    const batch = pending.take();
    if (batch === undefined) return;
    inFlight = { batch, into: segmentFor(batch) };
    sentAtMs = performance.now();
    write();
  }

  function segmentFor(batch: Batch): Segment {
    const { directory, segmentMaxBytes, segmentMaxAgeMs } = options;
    const old = segment === undefined || batch.firstArrivedAtMs - segment.firstArrivedAtMs >= segmentMaxAgeMs;
    if (segment !== undefined && !old && segment.bytes < segmentMaxBytes) return segment;
    const { first, firstArrivedAtMs, lastArrivedAtMs } = batch;
    return {
      file: segmentFile(directory, first),
      first,
      last: first - 1,
      bytes: 0,
      firstArrivedAtMs,
      lastArrivedAtMs,
    };
  }

  function write(): void {
    if (inFlight === undefined) return;
    const { batch, into } = inFlight;
    const { first, count, bytes } = batch;
    writer ??= begin();
    writer.write({ file: into.file, segmentFirst: into.first, first, count, bytes });
  }

  function begin(): Writer {
    const started = startWriter();
    started.onReply(receive);
    started.onDeath((why) => {
      writer = undefined;
      fail(new JournalError('io', `The journal's writer thread died: ${why}`));
    });
    return started;
  }

  function receive(reply: WriteReply): void {
    if (!reply.ok) {
      fail(journalErrorFor(reply, options.directory));
      return;
    }
    if (inFlight === undefined) return;
    const { batch, into } = inFlight;
    inFlight = undefined;
    segment = {
      ...into,
      last: reply.last,
      bytes: reply.segmentBytes,
      lastArrivedAtMs: batch.lastArrivedAtMs,
    };
    const hadFailed = failure !== undefined;
    failure = undefined;
    events.written(segment);
    if (hadFailed) events.recovered();
    nudge();
    if (isEmpty()) settled?.();
  }

  function fail(error: JournalError): void {
    const isNews = failure?.code !== error.code;
    failure = error;
    if (error.code !== 'corrupt') retry ??= setTimeout(tryAgain, options.retryMs);
    if (isNews) events.failed(error);
    settled?.();
  }

  function tryAgain(): void {
    clearTimeout(retry);
    retry = undefined;
    if (inFlight !== undefined) {
      write();
      return;
    }
    // The writer died while it had nothing to do: the next one starts with the next row.
    const hadFailed = failure !== undefined;
    failure = undefined;
    if (hadFailed) events.recovered();
    send();
  }

  function hurry(): void {
    if (retry !== undefined) tryAgain();
    else send();
  }

  function isEmpty(): boolean {
    return inFlight === undefined && pending.bytes() === 0;
  }

  async function close(): Promise<void> {
    if (failure?.code !== 'corrupt' && !isEmpty()) {
      const lastTry = new Promise<void>((resolve) => (settled = resolve));
      hurry();
      await lastTry;
    }
    clearImmediate(scheduled);
    clearTimeout(lingering);
    clearTimeout(retry);
    await writer?.close();
  }

  function nudge(): void {
    const rows = pending.rows();
    if (inFlight !== undefined || scheduled !== undefined || rows === 0) return;
    if (options.lingerMs === 0) scheduled = setImmediate(send);
    else if (lingering === undefined) {
      const nowMs = performance.now();
      isBurst = rows >= burstRows;
      lookedAt = { rows, sinceMs: nowMs };
      lately = { rows: 0, sinceMs: nowMs };
      linger(quietMs);
    } else if (!isBurst && isCompany(rows)) {
      isBurst = true;
      if (pausing) linger(quietMs);
    }
  }

  function isCompany(rows: number): boolean {
    if (rows >= companyRows) return true;
    const nowMs = performance.now();
    if (nowMs - lately.sinceMs > burstMs) lately = { rows: rows - 1, sinceMs: nowMs };
    return rows - lately.rows >= burstRows;
  }

  function linger(durationMs: number): void {
    pausing = durationMs > quietMs;
    clearTimeout(lingering);
    lingering = setTimeout(look, durationMs);
  }

  /** Looks whether anything came meanwhile. */
  function look(): void {
    const rows = pending.rows();
    const nowMs = performance.now();
    const pauseLeftMs = isBurst ? 0 : sentAtMs + options.pauseMs - nowMs;
    const isOver = rows === lookedAt.rows || nowMs - lookedAt.sinceMs >= options.lingerMs;
    lookedAt.rows = rows;
    if (pauseLeftMs > 0) linger(Math.max(pauseLeftMs, quietMs));
    else if (isOver) send();
    else linger(quietMs);
  }

  return {
    nudge,
    hurry,
    bytesInFlight: () => inFlight?.batch.bytes.length ?? 0,
    failure: () => failure,
    close,
  };
}
