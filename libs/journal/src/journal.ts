import type { JournalRow, NewJournalRow } from '@edge-margin/telemetry';
import { mkdirSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { durableMark } from './durable-mark.js';
import { JournalError, journalErrorFor } from './journal-error.js';
import { collectBatches } from './pending-batches.js';
import { readRows } from './read-rows.js';
import { columnsOf } from './row-columns.js';
import type { Segment } from './segment.js';
import { startWriterThread, type Writer } from './start-writer-thread.js';
import { surveySegments } from './survey-segments.js';
import { startWriteLoop } from './write-loop.js';

/** Where the journal is and when its files change. */
export interface JournalOptions {
  /** Made where it does not exist. One process at a time may have it open. */
  readonly directory: string;
  /** A segment that has grown to this is closed and the next one begun. Default 256 MiB. */
  readonly segmentMaxBytes?: number;
  /** A segment whose first row is this old is closed. Default 6 h. */
  readonly segmentMaxAgeMs?: number;
  /** Pause before a failed write is tried again. Default 1 s. */
  readonly retryMs?: number;
  /**
   * How long a row at most waits for others to share its transaction while others keep coming. Default 4 ms. Each transaction costs a sync,
   * whatever is in it: processor time, and wear of a flash disk.
   */
  readonly lingerMs?: number;
  /**
   * How far transactions of few rows keep apart; a burst, and the first row after such a pause, does not wait. Default 40 ms. Only what has to be
   * on disk first waits for it: acknowledgements to the broker, and what is stored.
   */
  readonly pauseMs?: number;
}

/** The durable, ordered record of everything that can change derived state. */
export interface Journal {
  /** Takes a row and gives it its position at once; the row is on disk when `durable()` has reached the position. Never blocks. */
  readonly append: (row: NewJournalRow) => number;
  /** Calls for each row as it is appended, in order, before it is durable. Returns how to stop. */
  readonly onAppend: (listener: (row: JournalRow) => void) => () => void;
  /** Lowest position still kept, or the next one where nothing is kept. */
  readonly firstPosition: () => number;
  /** Highest position given so far, 0 where there is none. */
  readonly lastPosition: () => number;
  /** Highest position on disk, 0 where there is none. */
  readonly durable: () => number;
  readonly onDurable: (listener: (position: number) => void) => () => void;
  /**
   * Resolves when the position is on disk.
   * Rejects with a JournalError only where that cannot be any more: after `corrupt`, or closed while the disk fails.
   */
  readonly whenDurable: (position: number) => Promise<void>;
  /** Bytes taken in but not on disk. Whoever can hold back its sender does so above its bound; nothing is refused here. */
  readonly pendingBytes: () => number;
  /** What is wrong now. */
  readonly failure: () => JournalError | undefined;
  /** Calls when writing begins to fail, and when the reason changes. */
  readonly onFailure: (listener: (error: JournalError) => void) => () => void;
  /** Calls when writing works again. */
  readonly onRecovery: (listener: () => void) => () => void;
  /**
   * Up to `limit` durable rows from a position on, in order; none where the position is ahead of what is durable.
   * Blocks for the length of a read: some 2 ms a thousand rows.
   * @throws RangeError where the position lies before `firstPosition()`, JournalError where the files cannot be read.
   */
  readonly read: (fromPosition: number, limit: number) => readonly JournalRow[];
  /** The files, oldest first. */
  readonly segments: () => readonly Segment[];
  /** Deletes the oldest segments that lie wholly before both; never the newest. Returns how many. */
  readonly disposeBefore: (position: number, atMs: number) => Promise<number>;
  /** Resolves when everything appended so far is on disk. */
  readonly flush: () => Promise<void>;
  /** Writes what is pending and lets go of the files. Rejects with the JournalError where the disk still fails. */
  readonly close: () => Promise<void>;
}

/**
 * Opens the journal, or begins one at position 1. Resolves when the writer thread stands ready.
 * @throws JournalError `corrupt` where positions have a gap or an overlap or a file is damaged; other codes where the disk refuses.
 */
export async function openJournal(options: JournalOptions): Promise<Journal> {
  const segments = survey(options.directory);
  const first = startWriterThread();
  await first.ready;
  let writer: Writer | undefined = first;
  return assemble(options, segments, () => {
    const next = writer ?? startWriterThread();
    writer = undefined;
    return next;
  });
}

/** As `openJournal`, with another writer. */
export function openJournalWith(options: JournalOptions, startWriter: () => Writer): Journal {
  return assemble(options, survey(options.directory), startWriter);
}

function assemble(options: JournalOptions, found: readonly Segment[], startWriter: () => Writer): Journal {
  const { directory } = options;
  let segments = found;
  let last = segments.at(-1)?.last ?? 0;
  let closed = false;
  const mark = durableMark(last);
  const pending = collectBatches();
  const appended = new Set<(row: JournalRow) => void>();
  const failed = new Set<(error: JournalError) => void>();
  const recovered = new Set<() => void>();

  const loop = startWriteLoop(
    {
      directory,
      segmentMaxBytes: options.segmentMaxBytes ?? 256 * 1024 * 1024,
      segmentMaxAgeMs: options.segmentMaxAgeMs ?? 6 * 3_600_000,
      retryMs: options.retryMs ?? 1000,
      lingerMs: options.lingerMs ?? 4,
      pauseMs: options.pauseMs ?? 40,
    },
    pending,
    segments.at(-1),
    startWriter,
    {
      written: (segment) => {
        const others = segments.at(-1)?.file === segment.file ? segments.slice(0, -1) : segments;
        segments = [...others, segment];
        mark.advance(segment.last);
      },
      failed: (error) => {
        if (error.code === 'corrupt') mark.giveUp(error);
        for (const listener of failed) listener(error);
      },
      recovered: () => {
        for (const listener of recovered) listener();
      },
    },
  );

  function append(row: NewJournalRow): number {
    if (closed) throw new Error('The journal is closed');
    if (!Number.isFinite(row.arrivedAtMs)) throw new RangeError(`arrivedAtMs: ${row.arrivedAtMs} ms`);
    const position = last + 1;
    pending.add(position, columnsOf(row));
    last = position;
    loop.nudge();
    if (appended.size > 0) {
      const withPosition = { ...row, position } as JournalRow;
      for (const listener of appended) listener(withPosition);
    }
    return position;
  }

  function whenDurable(position: number): Promise<void> {
    if (position > last)
      return Promise.reject(new RangeError(`position: ${position}, the last given is ${last}`));
    return mark.when(position);
  }

  function firstPosition(): number {
    return segments[0]?.first ?? mark.at() + 1;
  }

  function read(from: number, limit: number): readonly JournalRow[] {
    if (from < firstPosition())
      throw new RangeError(`fromPosition: ${from}, the first one kept is ${firstPosition()}`);
    return readRows(segments, from, Math.min(from + limit - 1, mark.at()));
  }

  async function disposeBefore(position: number, atMs: number): Promise<number> {
    let disposed = 0;
    for (;;) {
      const [oldest, next] = segments;
      if (oldest === undefined || next === undefined) return disposed;
      if (oldest.last >= position || oldest.lastArrivedAtMs >= atMs) return disposed;
      await removeSegment(oldest, directory);
      if (segments[0] === oldest) segments = segments.slice(1);
      disposed += 1;
    }
  }

  function flush(): Promise<void> {
    loop.hurry();
    return mark.when(last);
  }

  async function close(): Promise<void> {
    if (closed) return;
    closed = true;
    await loop.close();
    const failure = loop.failure();
    if (failure === undefined) return;
    mark.giveUp(failure);
    if (mark.at() < last) throw failure;
  }

  return {
    append,
    onAppend: (listener) => listen(appended, listener),
    firstPosition,
    lastPosition: () => last,
    durable: mark.at,
    onDurable: mark.onAdvance,
    whenDurable,
    pendingBytes: () => pending.bytes() + loop.bytesInFlight(),
    failure: loop.failure,
    onFailure: (listener) => listen(failed, listener),
    onRecovery: (listener) => listen(recovered, listener),
    read,
    segments: () => segments,
    disposeBefore,
    flush,
    close,
  };
}

function listen<Listener>(listeners: Set<Listener>, listener: Listener): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

function survey(directory: string): readonly Segment[] {
  try {
    mkdirSync(directory, { recursive: true });
    return surveySegments(directory);
  } catch (error) {
    if (error instanceof JournalError) throw error;
    throw journalErrorFor(error as NodeJS.ErrnoException, directory);
  }
}

/** The segment itself first: cut short, it leaves companion files, which the next opening clears away, and never half a segment. */
async function removeSegment(segment: Segment, directory: string): Promise<void> {
  try {
    for (const suffix of ['', '-wal', '-shm', '-journal']) await rm(segment.file + suffix, { force: true });
  } catch (error) {
    throw journalErrorFor(error as NodeJS.ErrnoException, directory);
  }
}
