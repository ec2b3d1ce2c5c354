import type {
  RolledResolution,
  SeriesId,
  SeriesPoints,
  SeriesQuery,
  WindowSummary,
} from '@edge-margin/series';
import {
  createInfluxRollUpReader,
  createInfluxSeriesStore,
  InfluxError,
  type InfluxServer,
} from '@edge-margin/store-influx';
import { type Reason, reason } from '@edge-margin/units';

/** An answer of the remote store, or why there is none. */
export type RemoteAnswer<T> =
  { readonly ok: true; readonly found: T } | { readonly ok: false; readonly because: Reason };

/** What the long memory across the network gives; it never rejects and never takes longer than its deadline. */
export interface RemoteMemory {
  readonly points: (query: SeriesQuery) => Promise<RemoteAnswer<SeriesPoints>>;
  readonly windows: (
    id: SeriesId,
    resolution: RolledResolution,
    range: { readonly fromMs: number; readonly toMs: number },
  ) => Promise<RemoteAnswer<readonly WindowSummary[]>>;
}

export interface RemoteOptions {
  readonly server: InfluxServer;
  /** Whoever looks at a trend waits no longer than this for the remote part, ms. */
  readonly deadlineMs: number;
  readonly now: () => number;
}

/** After a failure nobody is kept waiting for the next answer that would not come either, ms. */
const restMs = 15_000;

/** The long memory in InfluxDB. */
export function createRemoteMemory({ server, deadlineMs, now }: RemoteOptions): RemoteMemory {
  const reader = { ...server, timeoutMs: deadlineMs };
  const store = createInfluxSeriesStore({ ...reader, tagsOf: () => undefined });
  const readWindows = createInfluxRollUpReader(reader);
  let failed: { readonly untilMs: number; readonly because: Reason } | undefined;
  const ask = async <T>(question: () => Promise<T>): Promise<RemoteAnswer<T>> => {
    if (failed !== undefined && now() < failed.untilMs) return { ok: false, because: failed.because };
    try {
      const found = await withinDeadline(question(), deadlineMs);
      failed = undefined;
      return { ok: true, found };
    } catch (error) {
      const because = reason(
        'long-memory-silent',
        `the long memory gave no answer: ${(error as Error).message}`,
      );
      // What is missing or refused there says nothing of the next question.
      const answered = error instanceof InfluxError && error.code !== 'unreachable';
      failed = answered ? undefined : { untilMs: now() + restMs, because };
      return { ok: false, because };
    }
  };
  return {
    points: (query) => ask(() => store.query(query)),
    windows: (id, resolution, range) => ask(() => readWindows(id, resolution, range)),
  };
}

function withinDeadline<T>(work: Promise<T>, deadlineMs: number): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_resolve, reject) => {
    timer = setTimeout(() => reject(new Error(`none within ${deadlineMs} ms`)), deadlineMs);
  });
  return Promise.race([work, late]).finally(() => clearTimeout(timer));
}
