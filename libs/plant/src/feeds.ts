import { captures, targetOf } from './check-sources.js';
import type { MappingPart, PlantParts, StationPart } from './plant-parts.js';
import type { SignalMapping } from './source-schema.js';
import { type End, signalKinds } from './signal-kinds.js';
import { type TopicLevel, parseTopic } from './topic-pattern.js';

/** One mapped signal as it reaches one station and end: the topic's captures are filled in. */
export interface Feed {
  readonly part: MappingPart;
  readonly mapping: SignalMapping;
  readonly to: StationPart;
  readonly end: End;
  readonly levels: readonly TopicLevel[];
  /** The file names the winder; false where the topic captures it and may be meant for other winders only. */
  readonly certain: boolean;
}

/** Beyond this many, mappings and stations are not told apart one by one any more. */
export const mostFeeds = 50_000;

/**
 * Which mapped signal reaches which station and end.
 * @returns `unclear` where that cannot be told because a part of the file is not understood, `too-many` where there are more than {@link mostFeeds}.
 */
export function feeds({ mappings, stations, winders }: PlantParts): readonly Feed[] | 'unclear' | 'too-many' {
  const all: Feed[] = [];
  if ([...winders, ...stations].some(({ id }) => id === undefined)) return 'unclear';
  for (const part of mappings) {
    const found = feedsOf(part, stations);
    if (found === undefined) return 'unclear';
    if (all.length + found.length > mostFeeds) return 'too-many';
    all.push(...found);
  }
  return all;
}

function feedsOf(part: MappingPart, stations: readonly StationPart[]): readonly Feed[] | undefined {
  const { mapping, from } = part;
  if (mapping === undefined || from.source === undefined) return undefined;
  const pattern = parseTopic(from.source.topic);
  if (!pattern.ok) return undefined;
  const { winder, station } = targetOf(part);
  const byEnd = signalKinds[mapping.signal].perEnd && captures(from.source, 'end');
  const ends: readonly End[] = byEnd ? ['tending', 'drive'] : [mapping.end];
  return stations
    .filter((to) => (winder ?? to.winder.id) === to.winder.id && (station ?? to.id) === to.id)
    .flatMap((to) =>
      ends.map((end) => ({
        part,
        mapping,
        to,
        end,
        levels: filledIn(pattern.levels, to, end),
        certain: winder !== undefined,
      })),
    );
}

function filledIn(levels: readonly TopicLevel[], to: StationPart, end: End): readonly TopicLevel[] {
  const texts = {
    winder: to.winder.id,
    station: to.id,
    end: end === 'both' ? undefined : end,
    any: undefined,
  };
  return levels.map((level) => {
    const text = level.kind === 'capture' ? texts[level.name] : undefined;
    return text === undefined ? level : { kind: 'text', text };
  });
}
