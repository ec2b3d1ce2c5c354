import type { StationView, WinderView } from '@edge-margin/monitoring';
import type { DisplaySystem } from '@edge-margin/units';
import type { ClockWords } from './clock-words.js';
import type { Liveness } from './liveness.js';

/** What the words and drawings of one station are made from. */
export interface StationContext {
  readonly winder: WinderView;
  readonly station: StationView;
  readonly liveness: Liveness;
  readonly system: DisplaySystem;
  /** Service time, epoch ms. */
  readonly nowMs: number;
  /** Short mark by which people call the station: `5`, `2 B`. */
  readonly mark: string;
  /** Time of day of an instant. */
  readonly time: ClockWords;
  /** The same, with the day where it is another day. */
  readonly since: ClockWords;
}
