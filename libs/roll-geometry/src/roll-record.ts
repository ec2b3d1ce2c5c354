/** A wound roll (one station's rolls side by side count as one record). Written at its start, again at its end. */
export interface RollRecord {
  readonly rollId: string;
  readonly winderId: string;
  readonly stationId: string;
  readonly gradeId: string;
  readonly startedAtMs: number;
  /** The service was not watching when the roll was started: it began before `startedAtMs`. */
  readonly startUnknown: boolean;
  readonly endedAtMs: number | null;
  readonly coreDiameterM: number;
  readonly endDiameterM: number | null;
  readonly woundLengthM: number | null;
  readonly wrapCount: number | null;
  readonly highestRisk: number | null;
}
