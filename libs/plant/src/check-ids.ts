import type { IdPart, PlantParts } from './plant-parts.js';
import { type Finding, type Path, error, pathText, valueText } from './problem.js';

/** Ids that name two things: winders in the site, areas, grades, and within their parent lines, stations and rolls. */
export function checkIds({ areas, lines, winders, stations, grades }: PlantParts): readonly Finding[] {
  const rolls = stations.flatMap(({ path, station }) =>
    (station?.rolls ?? []).map(({ id }, index) => ({ id, path: [...path, 'rolls', index] })),
  );
  return [
    ...repeated(areas, 'area'),
    ...repeated(lines, 'line of this area'),
    // Topics, alarm keys and addresses name winder and station only, so a winder's id must be its own in the whole site.
    ...repeated(winders, 'winder of the site', () => ''),
    ...repeated(stations, 'station of this winder'),
    ...repeated(rolls, 'roll of this station'),
    ...repeated(grades, 'grade'),
  ];
}

const parentOf = (path: Path): string => pathText(path.slice(0, -1));

function repeated(parts: readonly IdPart[], what: string, scope = parentOf): readonly Finding[] {
  const first = new Map<string, Path>();
  return parts.flatMap(({ path, id }) => {
    if (id === undefined) return [];
    const key = `${scope(path)} ${id}`;
    const taken = first.get(key);
    if (taken === undefined) first.set(key, path);
    return taken === undefined
      ? []
      : [
          error(
            [...path, 'id'],
            valueText(id),
            `an id that no other ${what} has; ${pathText(taken)} has it already`,
          ),
        ];
  });
}
