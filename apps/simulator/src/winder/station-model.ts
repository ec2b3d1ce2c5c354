import type { StationTopics } from '../instruments/station-reports.js';
import type { Grade, Line, Scenario, Station } from '../scenario/scenario-schema.js';
import type { StripPlan } from './strip-plan.js';

/** What does not change about a station during a run. */
export interface StationModel {
  readonly winder: string;
  readonly station: Station;
  readonly grade: Grade;
  readonly scenario: Scenario;
  /** The line whose web it winds; undefined: it runs on its own. */
  readonly line: Line | undefined;
  /** Its rolls side by side, from the tending side. */
  readonly strips: readonly StripPlan[];
  readonly topics: StationTopics & { readonly setEnd: string };
}

/** A moment of the run: begin of a sample period. */
export interface Moment {
  readonly atMs: number;
  readonly atS: number;
}
