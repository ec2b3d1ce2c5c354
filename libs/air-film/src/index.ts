/**
 * The air that is wound into a roll: how much, whether the outer wraps float on it, how far that is away, and which set point helps.
 *
 * In: one operating point of one roll ({@link AirPoint}): web, nip or none, air, speed, diameter, tension. SI throughout.
 * Out: {@link assessAir}: film at each stage, traction, critical speed, margin, floating wraps and times, whether air matters at all and why not, with
 * uncertainty and sensitivities. {@link airMargin}: the part of it that is watched every second. {@link criticalSpeed}, {@link criticalSpeedByDiameter} and {@link marginAt}: the same without
 * uncertainty, for forecasts. {@link speedForMargin},
 * {@link nipLoadForMargin}, {@link tensionForMargin}: what a set point would have to be; {@link remedies}: all of them, ranked, with what they cost;
 * {@link exchange}: one quantity for another at the same margin; {@link operatingMap}: the margin over speed and a second quantity. {@link answerPoint}: the
 * assessment of an unchecked JSON body, the same for the command line and the HTTP API.
 *
 * The way of the air, each step in one file: foil film (tension alone) - nip film (compressible air in a soft nip) - the smaller of the two is wound in - it vents
 * through the web and at the edges while further wraps press on it - if more than the allowed wraps keep a film above the boundary film
 * (`boundaryFactor x 3 x combined roughness`), they are free to move. Free to move is not rough: something must also move them.
 *
 * Where a nip works only in part ({@link IneffectiveNip}), each cause is named with its share and the figures of the worst place. Contact lost part of the time is never averaged with the rest; a thin lane of the roll, a bent roller, a
 * web that touches before the nip are in the film and so in boundary, remedies and uncertainty, as far as there is air for the whole width. Of several nips only the one where
 * the web arrives holds air back. A nip load that no cell measures comes from `nip-load`, as do the shares that a nip does not press; figures of other methods (Gurley, Bendtsen, PPS, Shore A)
 * are turned into SI by `grade-data`.
 *
 * Validity: smooth isothermal films, infinitely long wrap, an elastic cover, thick or of known thickness, against a rigid roll; where a point lies outside, `extrapolated` says so and
 * what it does. Below `boundaryFactor x 3 x combined roughness` asperities carry part of the nip load, so that the true film is thinner than given. The critical speed of a
 * grade that rated rolls have not confirmed may be wrong by a factor of 2 either way. The nip film has not been compared with measurements.
 *
 * Sources: Blok & van Rossum 1953, Eshel & Elrod 1965, Knox & Sweeney 1971 (foil film); Herrebrugh 1968, Snoeijer, Eggers & Venner 2013, Forrest 1995
 * (nip); Ducotey & Good 1998, 1999 (venting, traction); Jennings 1988, U.S. Standard Atmosphere 1976 (air); JCGM 100:2008 (uncertainty);
 * own numerical solutions and derivations where a function says so.
 */
export type { AirCondition } from './air-condition.js';
export { type AirProperties, airProperties, standardAir } from './air-properties.js';
export type { AirInputName, InputUncertainties, Sensitivities } from './air-inputs.js';
export type {
  AirPoint,
  NipBending,
  NipEnds,
  NipShares,
  WinderNip,
  WindingState,
  WoundWeb,
} from './air-point.js';
export { answerPoint, type PointAnswer } from './answer-point.js';
export { type AssessRequest, assessRequestSchema } from './assess-request.js';
export type { AssessAnswer, IneffectiveNipAnswer } from './assess-answer.js';
export type { AirCalibration, AirUncertainty } from './air-uncertainty.js';
export type { UncertaintyContribution } from './uncertainty-contribution.js';
export { type AirAssessment, type AirFilms, type AirQuestion, assessAir } from './assess-air.js';
export { type AirMargin, airMargin } from './air-margin.js';
export { criticalSpeed, criticalSpeedByDiameter, marginAt } from './critical-speed.js';
export { type Exchange, exchange, type PointChange, type QuantityLimits } from './exchange.js';
export {
  averageRoughnessFromPps,
  combinedRoughness,
  type Conversion,
  conversions,
  darcyFromPermeance,
  dynamicModulus,
  type FigureRange,
  type ModulusBand,
  modulusBandFromShore,
  modulusFromShore,
  peakRoughnessFromRz,
  permeanceFromBendtsen,
  permeanceFromDarcy,
  permeanceFromGurley,
  type PorousSheet,
  rmsRoughnessFromPps,
  rmsRoughnessFromRa,
  type TwoFaces,
  typicalCombinedRoughness,
  type TypicalGrade,
  typicalGrades,
  typicalValue,
} from './grade-data/index.js';
export type { IneffectiveNip } from './ineffective-nip.js';
export { type LayeredContact, layeredContact, type LayeredNip } from './layered-contact/index.js';
export {
  bulkDensity,
  type CaliperLane,
  contactLostInTime,
  type Drum,
  type LanedRoll,
  type LayOnEnd,
  type LayOnLoad,
  layOnLoad,
  type LayOnRoller,
  type LoadedRoller,
  type NipCylinders,
  rollerDeflection,
  type RollerTube,
  rollMass,
  rollMassPerWidth,
  type RollUnderNip,
  tubeBendingStiffness,
  type TwoDrumLoad,
  twoDrumLoad,
  type TwoDrums,
  type TwoDrumWinder,
  unpressedByBending,
  unpressedLanes,
  unpressedRolls,
  webTouchesFirst,
  type WoundRoll,
  type WoundWebMass,
  type WoundWithoutNip,
} from './nip-load/index.js';
export {
  type MapAxis,
  type MapMargin,
  type MapQuestion,
  operatingMap,
  type OperatingMap,
} from './operating-map.js';
export type { PointQuantity } from './point-quantity.js';
export {
  type RankedRemedy,
  remedies,
  remediesAt,
  type RemedyContext,
  type SetPointLimits,
} from './ranked-remedies.js';
export {
  type AirRemedy,
  nipLoadForMargin,
  type RemedyPoint,
  remedyPoint,
  type RemedyTarget,
  speedForMargin,
  tensionForMargin,
} from './remedies.js';
export type { WithstoodDisturbance } from './withstood-disturbance.js';
