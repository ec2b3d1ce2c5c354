import { filterTakes } from './subscriptions.js';

/** Something is to come on this filter at least once a period. */
export interface ExpectedSource {
  readonly filter: string;
  readonly periodS: number;
}

/** An expected source from which nothing comes. */
export interface SilentSource extends ExpectedSource {
  /** When something came last, or since when we listen. Epoch ms. */
  readonly sinceMs: number;
  /** Something came from it since the start of the process. */
  readonly hasCome: boolean;
}

export interface SourceWatch {
  /** A message that is no retained one has come. */
  readonly take: (topic: string, atMs: number) => void;
  /** From here on what is expected should come: subscribed, or able to read again. */
  readonly listenFrom: (atMs: number) => void;
  readonly stopListening: () => void;
  /** To be asked about once a second; none while we do not listen. */
  readonly silent: (atMs: number) => readonly SilentSource[];
  /** Some source was not heard since we listen, or we do not listen: whether it is silent is not known yet. Not for longer than a minute of listening. */
  readonly isStillListening: (atMs: number) => boolean;
  /** How many sources are watched. */
  readonly count: number;
}

/** A source counts as silent after so many of its periods, and after at least so long. */
const silentAfterPeriods = 5;
const shortestSilenceMs = 20_000;
/** A source that sends less often is not waited for: who was told of a silence would else wait for hours to hear that it is over. */
const longestListeningMs = 60_000;
/** Nobody has looked for so long: the process stood still, or the clock was set. What came meanwhile is not known. */
const stoodStillMs = 10_000;
const mostTopics = 5000;

/**
 * Watches whether expected sources are heard. A connection that stands and a subscription that was granted do not mean that messages come: a
 * broker's access list may grant a filter and then withhold what matches it, and a gateway may be dead.
 * @param silentAfterMs the shortest time after which a source counts as silent, ms
 */
export function watchSources(
  sources: readonly ExpectedSource[],
  silentAfterMs = shortestSilenceMs,
): SourceWatch {
  const lastAtMs: (number | undefined)[] = sources.map(() => undefined);
  const takers = new Map<string, readonly number[]>();
  let listeningFromMs: number | undefined;
  let lookedAtMs = 0;

  function takersOf(topic: string): readonly number[] {
    const known = takers.get(topic);
    if (known !== undefined) return known;
    const found = sources.flatMap(({ filter }, index) => (filterTakes(filter, topic) ? [index] : []));
    if (takers.size >= mostTopics) takers.clear();
    takers.set(topic, found);
    return found;
  }

  function beginAnew(atMs: number): void {
    listeningFromMs = atMs;
    // By a clock that was set back, what has come lies ahead.
    for (const [index, last] of lastAtMs.entries())
      if (last !== undefined && last > atMs) lastAtMs[index] = atMs;
  }

  function allowedMs({ periodS }: ExpectedSource): number {
    return Math.max(silentAfterMs, periodS * 1000 * silentAfterPeriods);
  }

  function isStillListening(atMs: number): boolean {
    if (listeningFromMs === undefined) return sources.length > 0;
    const fromMs = listeningFromMs;
    return sources.some(
      (source, index) =>
        (lastAtMs[index] ?? -Infinity) < fromMs &&
        atMs - fromMs <= Math.min(allowedMs(source), longestListeningMs),
    );
  }

  function silent(atMs: number): readonly SilentSource[] {
    if (listeningFromMs === undefined) return [];
    if (Math.abs(atMs - lookedAtMs) > stoodStillMs) beginAnew(atMs);
    lookedAtMs = atMs;
    const fromMs = listeningFromMs;
    return sources.flatMap((source, index) => {
      const last = lastAtMs[index];
      const quietFromMs = Math.max(fromMs, last ?? fromMs);
      if (atMs - quietFromMs <= allowedMs(source)) return [];
      return [{ ...source, sinceMs: Math.min(atMs, last ?? fromMs), hasCome: last !== undefined }];
    });
  }

  return {
    take: (topic, atMs) => {
      for (const index of takersOf(topic)) lastAtMs[index] = atMs;
    },
    listenFrom: (atMs) => {
      listeningFromMs = atMs;
      lookedAtMs = atMs;
    },
    stopListening: () => (listeningFromMs = undefined),
    silent,
    isStillListening,
    count: sources.length,
  };
}
