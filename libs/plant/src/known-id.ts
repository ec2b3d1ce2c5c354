import { nearestWord } from '@edge-margin/units';
import type { IdPart } from './plant-parts.js';
import { type Finding, type Path, error, valueText } from './problem.js';

/**
 * A finding where `id` names none of the parts. None where a part has lost its own id: it may be the one that is meant.
 * @param what names the kind of part, e.g. `a grade`.
 */
export function unknownId(
  path: Path,
  id: string,
  parts: readonly IdPart[],
  what: string,
): readonly Finding[] {
  const ids = parts.map((part) => part.id);
  if (ids.includes(id) || ids.includes(undefined)) return [];
  const known = [...new Set(ids.filter((one) => one !== undefined))];
  const nearest = nearestWord(id, known);
  const expected =
    nearest === undefined
      ? `${what} of this file: ${listed(known)}`
      : `${what} of this file; the nearest is ${nearest}`;
  return [error(path, valueText(id), expected)];
}

const mostListed = 12;
const listed = (words: readonly string[]): string =>
  words.length <= mostListed ? words.join(', ') : `${words.slice(0, mostListed).join(', ')}, ...`;
