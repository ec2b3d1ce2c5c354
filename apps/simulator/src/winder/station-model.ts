import type { StationTopics } from '../instruments/station-reports.js';
import type { Grade, Scenario, Station } from '../scenario/scenario-schema.js';

/** What does not change about a station during a run. */
export interface StationModel {
  readonly winder: string;
  readonly station: Station;
  readonly grade: Grade;
  readonly scenario: Scenario;
  readonly topics: StationTopics & { readonly setEnd: string };
}

/** A moment of the run: begin of a sample period. */
export interface Moment {
  readonly atMs: number;
  readonly atS: number;
}
