import { parseTopic } from '@edge-margin/plant';
import type { ExpectedSource } from './source-watch.js';

/** As much of a plant file as is needed here. */
interface Sources {
  readonly sources: readonly {
    readonly topic: string;
    readonly signals: readonly { readonly expectedPeriodS?: number | undefined }[];
  }[];
}

/** The sources of a plant file from which something is expected periodically, each with the shortest of its signals' periods. */
export function expectedSources({ sources }: Sources): readonly ExpectedSource[] {
  return sources.flatMap(({ topic, signals }) => {
    const periods = signals.flatMap(({ expectedPeriodS }) => expectedPeriodS ?? []);
    return periods.length === 0 ? [] : [{ filter: filterOf(topic), periodS: Math.min(...periods) }];
  });
}

/** The topic filter of a source's topic: `+` for each capture. */
function filterOf(topic: string): string {
  const parsed = parseTopic(topic);
  if (!parsed.ok) throw new RangeError(`topic: ${topic}: ${parsed.faults.join('; ')}`);
  return parsed.levels
    .map((level) => (level.kind === 'text' ? level.text : level.kind === 'rest' ? '#' : '+'))
    .join('/');
}
