import type { Source } from '@edge-margin/plant';
import { topicLevels } from './topic-levels.js';

/** Levels of an MQTT topic filter. */
type Filter = readonly string[];

/**
 * The topic filters to subscribe, so that every message of a source comes, and comes once: no two of them match the same topic.
 *
 * A broker may send one copy per matching filter (MQTT 5.0, 3.3.4), so a filter that another covers is left out, and filters that overlap
 * otherwise are widened into one. Source of the matching rules: MQTT 5.0, 4.7.
 * @param plant its sources
 * @returns filters in which `+` stands for each capture, in the order of the plant file
 */
export function subscriptions(plant: {
  readonly sources: readonly Pick<Source, 'topic'>[];
}): readonly string[] {
  let filters: readonly Filter[] = [];
  for (const { topic } of plant.sources) filters = withFilter(filters, filterOf(topic));
  return filters.map((filter) => filter.join('/'));
}

function withFilter(filters: readonly Filter[], added: Filter): readonly Filter[] {
  const at = filters.findIndex((filter) => overlap(filter, added));
  const other = filters[at];
  if (other === undefined) return [...filters, added];
  // The union may overlap a further filter; it is put in as if it were new.
  const rest = filters.toSpliced(at, 1);
  const merged = union(other, added);
  const before = withFilter(rest.slice(0, at), merged);
  return rest.slice(at).reduce(withFilter, before);
}

function filterOf(topic: string): Filter {
  return topicLevels(topic).map((level) => {
    if (level.kind === 'text') return level.text;
    return level.kind === 'rest' ? '#' : '+';
  });
}

/** Whether some topic matches both. Wildcards do not match a first level that begins with `$`; `a/#` matches `a` too. */
function overlap(a: Filter, b: Filter): boolean {
  if (isReserved(a) !== isReserved(b)) return false;
  for (let i = 0; ; i += 1) {
    const [one, other] = [a[i], b[i]];
    if (one === '#' || other === '#') return true;
    if (one === undefined || other === undefined) return one === other;
    if (one !== other && one !== '+' && other !== '+') return false;
  }
}

function isReserved(filter: Filter): boolean {
  return filter[0]?.startsWith('$') ?? false;
}

/** The narrowest filter that matches all that two overlapping ones match. */
function union(a: Filter, b: Filter): Filter {
  const levels: string[] = [];
  for (let i = 0; ; i += 1) {
    const [one, other] = [a[i], b[i]];
    if (one === undefined && other === undefined) return levels;
    if (one === '#' || other === '#' || one === undefined || other === undefined) return [...levels, '#'];
    levels.push(one === other ? one : '+');
  }
}
