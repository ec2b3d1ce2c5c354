/**
 * The composition: journal rows in, readings decoded, stations stepped on an event-time grid, and effects out
 * (series samples, assessments, alarm transitions, roll records, gaps, answers to commands). A pure fold: the same rows give bit-equal results.
 *
 * Inside: edge risk as a chance from margin, bounce indicator and their uncertainties; the boundary ahead; the remedy; the first alarms.
 * Validity is that of the libs it composes (air-film, vibration, roll-geometry); a grade that no rated roll has confirmed runs as a silent trial.
 */
export type * from './api.js';
export type * from './door-api.js';
export type * from './health-api.js';
export type * from './mqtt-api.js';
export type * from './assessment.js';
export type { CommandAnswer, Effect, Gap } from './effect.js';
export {
  type MonitorDependencies,
  type MonitoringModel,
  makeModel,
  modelRevision,
  type StationModel,
} from './model.js';
export {
  type Fold,
  type Monitor,
  openAlarms,
  reportedTroubles,
  restoreMonitor,
  savedStates,
} from './monitor.js';
export { type OperatingPoint, operatingPointOf } from './operating-point.js';
export { isOwnTrouble, type OwnTrouble, ownTroubles, type TroubleSign } from './own-trouble.js';
export { foldRow, runMonitor, type RunningMonitor } from './running-monitor.js';
export { nothingReported, type TroubleWatch, watchTrouble } from './trouble-watch.js';
