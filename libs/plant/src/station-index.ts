import type { Air } from './air-schema.js';
import type { Grade } from './grade-schema.js';
import type { Limits } from './limits-schema.js';
import type { PlantFile } from './schema.js';
import type { Station, Winder } from './winder-schema.js';

/** Everything about one station that the monitoring needs, looked up once. */
export interface StationContext {
  /** `winder/station`: names the station in state, series, alarm keys and addresses. */
  readonly stationKey: string;
  readonly siteId: string;
  readonly areaId: string;
  readonly lineId: string;
  readonly winder: Winder;
  /** The air around the winder by the plant file; null where it says nothing. */
  readonly air: Air | null;
  readonly station: Station;
  /** Sum of the widths of the station's rolls, m. */
  readonly webWidthM: number;
  readonly grades: ReadonlyMap<string, Grade>;
  readonly limits: Limits;
}

/** The plant's stations by key, in the order of the plant file. */
export function stationIndex(plant: PlantFile): ReadonlyMap<string, StationContext> {
  const grades = new Map(plant.grades.map((grade) => [grade.id, grade]));
  const index = new Map<string, StationContext>();
  for (const area of plant.areas) {
    for (const line of area.lines) {
      for (const winder of line.winders) {
        for (const station of winder.stations) {
          const stationKey = `${winder.id}/${station.id}`;
          index.set(stationKey, {
            stationKey,
            siteId: plant.site.id,
            areaId: area.id,
            lineId: line.id,
            winder,
            air: winder.air ?? plant.site.air ?? null,
            station,
            webWidthM: station.rolls.reduce((sum, roll) => sum + roll.widthM, 0),
            grades,
            limits: plant.limits,
          });
        }
      }
    }
  }
  return index;
}
