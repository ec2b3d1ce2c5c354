import type { SeriesGap } from '@edge-margin/monitoring';
import { durationWords, shortNumber } from './health-words.js';

/** What is missing: `messages of sources`, `points kept here`, `the copy in InfluxDB`. */
export function missingWords(what: string): string {
  if (what === 'messages') return 'messages of sources';
  if (what === 'series') return 'points kept here';
  return what === 'replica influx' ? 'the copy in InfluxDB' : what;
}

/** `3.2 min`; of a gap of which only the end is known, that. */
export function gapLengthWords({ fromMs, toMs }: Pick<SeriesGap, 'fromMs' | 'toMs'>): string {
  return toMs > fromMs ? durationWords((toMs - fromMs) / 1000) : 'not known';
}

/** How many are missing, where that is known. */
export function gapCountWords(count: number | null): string {
  return count === null ? 'not known' : shortNumber(count);
}

/** The head of the list: `Missing in the last 24 h: nothing that is known of`, `... : 3 gaps`, `... : more than 50 gaps`. */
export function gapsTitle(count: number, more: boolean): string {
  if (count === 0) return 'Missing in the last 24 h: nothing that is known of';
  const gaps = `${shortNumber(count)} ${count === 1 ? 'gap' : 'gaps'}`;
  return `Missing in the last 24 h: ${more ? `more than ${gaps}` : gaps}`;
}
