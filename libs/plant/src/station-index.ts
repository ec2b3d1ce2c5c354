import type { Grade, Limits, PlantFile, Station, Winder } from './schema.js';

/** Everything about one station that the monitoring needs, looked up once. */
export interface StationContext {
  /** `winder/station`: names the station in state, series, alarm keys and addresses. */
  readonly stationKey: string;
  readonly siteId: string;
  readonly areaId: string;
  readonly lineId: string;
  readonly winder: Winder;
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
