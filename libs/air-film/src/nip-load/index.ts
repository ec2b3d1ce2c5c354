/**
 * The load of a nip where no cell measures it, and how much of the roll the nip really presses.
 *
 * Load: {@link layOnLoad} from cylinder pressure, lever, weight and friction; {@link twoDrumLoad} from the weight of the roll ({@link rollMass}, {@link bulkDensity}), the rider load and the drums. Both per metre
 * of web under the nip, with standard uncertainty.
 *
 * Effect: {@link unpressedLanes}, {@link unpressedRolls}, {@link unpressedByBending} give the share of the width, {@link contactLostInTime} and {@link webTouchesFirst} the share of the length that is wound with the film of
 * no nip, and the reason. The indentation to hold against comes from the contact of the covered roller (`layeredContact`).
 *
 * Validity: statics of rigid bodies; straight rollers; a cover that acts as a bed of springs; the winding roll counts as rigid. Each says which way it errs.
 * Sources: statics and textbook mechanics of materials (own derivations); JCGM 100:2008 for uncertainty.
 */
export type { LayOnEnd, NipCylinders } from './lay-on-end.js';
export { type LayOnLoad, layOnLoad, type LayOnRoller } from './lay-on-load.js';
export { bulkDensity, rollMass, rollMassPerWidth, type WoundRoll, type WoundWebMass } from './roll-mass.js';
export type { TwoDrums } from './two-drum-geometry.js';
export { type Drum, type TwoDrumLoad, twoDrumLoad, type TwoDrumWinder } from './two-drum-load.js';
export { contactLostInTime, webTouchesFirst, type WoundWithoutNip } from './wound-without-nip.js';
export {
  type CaliperLane,
  type LanedRoll,
  type RollUnderNip,
  unpressedLanes,
  unpressedRolls,
} from './uneven-roll.js';
export {
  type LoadedRoller,
  rollerDeflection,
  type RollerTube,
  tubeBendingStiffness,
  unpressedByBending,
} from './roller-bending.js';
