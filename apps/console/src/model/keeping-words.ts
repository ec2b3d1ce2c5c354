import type { KeptView } from '@edge-margin/monitoring';
import { bytesWords, durationWords, shortNumber } from './health-words.js';

/** `2 days, at most 20 GB`, `without end`. */
export function keptWords({ atMost, keptMs }: Pick<KeptView, 'atMost' | 'keptMs'>): string {
  const time = keptMs === null ? 'without end' : wholeDays(keptMs);
  if (atMost === null) return time;
  const most = atMost.unit === 'By' ? bytesWords(atMost.value) : `${shortNumber(atMost.value)} rows`;
  return `${time}, at most ${most}`;
}

/** Where it is kept, as people say it. */
export function keptWhereWords(where: KeptView['where']): string {
  return where === 'here' ? 'here' : 'in InfluxDB';
}

function wholeDays(keptMs: number): string {
  const days = keptMs / 86_400_000;
  return Number.isInteger(days)
    ? `${shortNumber(days)} ${days === 1 ? 'day' : 'days'}`
    : durationWords(keptMs / 1000);
}
