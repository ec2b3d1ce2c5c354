/**
 * Geometry of a roll that is being wound: diameter, wound length, wraps and the time between them, and the fold that follows a roll from start to end.
 *
 * The web seen from its side covers the end face of the roll: pi/4 (D^2 - D0^2) = h L, with h the radial thickness of one wrap as it lies in the roll
 * (caliper and the air between the wraps). Diameter, length, wraps, time at a speed or along a planned speed follow from it.
 *
 * In: diameters, lengths, thicknesses in m, speeds in m/s, instants in epoch ms; the tracker takes what one cell of the event-time grid (1 s) measured.
 * Out: the same, with standard uncertainties where the inputs have them, and reasons where something cannot be known. The tracker also tells when a roll
 * started, ended, or was set right, and which readings it did not use.
 *
 * Validity: h much smaller than the core; layers of one mean thickness; all rolls of a station alike. The diameter is that of the largest lane where the
 * gauge looks. Caliper stands for h until the roll has shown its own. A roll that is exchanged within a gap of the telemetry for one of more than half its
 * build cannot be told from the same roll grown on, unless wound length or winding signal tell.
 * Sources: conservation of the area of the end face (own derivation, checked by summing a spiral wrap by wrap); R. E. Kalman 1960 for the filter; JCGM 100:2008
 * for uncertainties. Thresholds are own choices and say so where they stand.
 */
export {
  type BuildUp,
  diameterAfterLength,
  diameterAfterWraps,
  lengthToDiameter,
  meanLayerThickness,
  wrapsToDiameter,
} from './build-up.js';
export { diameterFromRotation } from './diameter-from-rotation.js';
export { diameterFromLength, lengthFromDiameter, wrapsFromDiameter } from './roll-figures.js';
export { type SpeedCorner, type SpeedPlan, durationAlongPlan, lengthAlongPlan } from './speed-plan.js';
export { timeToDiameter, timeToDiameterAlongPlan } from './time-to-diameter.js';
export { type WayQuestion, type WayToDiameter, wayToDiameter } from './way-to-diameter.js';
export { noRollSeen, stepRoll } from './roll-tracker.js';
export type {
  DiameterSource,
  RollCell,
  RollEvent,
  RollPhase,
  RollTrackerConfig,
  RollTrackerState,
  RollTrackerStep,
  TrackedRoll,
} from './roll-tracker-types.js';
export type { RollRecord } from './roll-record.js';
export { noWoundInAirSeen, stepWoundInAir } from './wound-in-air/step-wound-in-air.js';
export {
  type FilmComparison,
  type FilmToCompare,
  compareWithFilm,
} from './wound-in-air/compare-with-film.js';
export type {
  AirContributions,
  WoundInAir,
  WoundInAirCell,
  WoundInAirConfig,
  WoundInAirState,
  WoundInAirStep,
} from './wound-in-air/wound-in-air-types.js';
