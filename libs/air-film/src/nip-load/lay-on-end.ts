import { known, type Quantity } from '@edge-margin/units';
import { inRange } from '../in-range.js';
import { firstOrder } from './first-order.js';
import { standardGravityMPerS2 } from './standard-gravity.js';

/** The cylinders that press one end of a lay-on roller on the roll. */
export interface NipCylinders {
  /** Cylinders at this end. */
  readonly count: number;
  readonly boreDiameterM: number;
  /** Diameter of the piston rod; 0 where the rod goes out on neither side (bellows). */
  readonly rodDiameterM: number;
  /** The side under pressure when the nip closes: the whole piston, or the ring round the rod. */
  readonly closesBy: 'piston side' | 'rod side';
}

/** One end of a lay-on roller: what presses it and what hinders it. */
export interface LayOnEnd {
  readonly cylinders: NipCylinders;
  /** Gauge pressure on the closing side, Pa. */
  readonly closingPressurePa: Quantity;
  /** Gauge pressure on the other side, Pa; 0 if left out. */
  readonly counterPressurePa?: Quantity;
  /** Force at the nip over force of the cylinder: ratio of the lever arms about the pivot; 1 on straight guides. */
  readonly leverRatio: number;
  /** Mass of roller and arms at this end, reduced to the nip, kg. */
  readonly massKg: number;
  /** Angle between the direction of closing and straight down, rad: 0 = lies on top of the roll, pi/2 = from the side, pi = from below. */
  readonly closingAngleRad: number;
  /** Largest friction of guides, pivots and seals, as a force at the nip, N. */
  readonly frictionN: number;
  /** How the roller moves: `retreating` before a growing roll, friction then adds to the load; `not told` if it may be either way. */
  readonly movement: 'retreating' | 'not told';
}

/**
 * Force with which one end of the lay-on roller presses on the roll, N; negative where it hangs away from it.
 *
 * Statics (own derivation): `F = n (p A_closing - p_counter A_other) i + m g cos(angle) + friction`, with `A_piston = pi D^2/4`, `A_ring = pi (D^2 - d^2)/4`.
 * Friction is known only as a band: 0 to +f before a growing roll (it resists the retreat), -f to +f where the movement is not told; the middle of the band is the value, and the
 * band as an even distribution (JCGM 100:2008, 4.3.7) joins the uncertainty. A vibrating guide frees itself, so that the friction is less.
 * @returns unknown where a pressure is.
 * @throws RangeError if a dimension makes no sense.
 */
export function layOnForce(end: LayOnEnd): Quantity {
  checkEnd(end);
  const areas = cylinderAreas(end.cylinders);
  const friction = frictionBand(end);
  const weightN = end.massKg * standardGravityMPerS2 * Math.cos(end.closingAngleRad);
  const fromPressure = (closingPa = 0, counterPa = 0) =>
    (closingPa * areas.closingM2 - counterPa * areas.otherM2) * end.leverRatio;
  return firstOrder(
    (closingPa, counterPa, frictionN = 0) => fromPressure(closingPa, counterPa) + weightN + frictionN,
    [end.closingPressurePa, end.counterPressurePa ?? known(0), friction],
  );
}

/** Areas of all cylinders of one end, m2, on the side that closes the nip and on the other. */
function cylinderAreas({ count, boreDiameterM, rodDiameterM, closesBy }: NipCylinders) {
  const pistonM2 = (count * Math.PI * boreDiameterM ** 2) / 4;
  const ringM2 = pistonM2 - (count * Math.PI * rodDiameterM ** 2) / 4;
  return closesBy === 'piston side'
    ? { closingM2: pistonM2, otherM2: ringM2 }
    : { closingM2: ringM2, otherM2: pistonM2 };
}

function frictionBand({ frictionN, movement }: LayOnEnd): Quantity {
  return movement === 'retreating'
    ? known(frictionN / 2, frictionN / Math.sqrt(12))
    : known(0, frictionN / Math.sqrt(3));
}

function checkEnd(end: LayOnEnd): void {
  const { count, boreDiameterM, rodDiameterM } = end.cylinders;
  inRange({ name: 'count', value: count, unit: '1', low: 1, high: 100 });
  inRange({ name: 'boreDiameterM', value: boreDiameterM, unit: 'm', low: 5e-3, high: 1 });
  inRange({ name: 'rodDiameterM', value: rodDiameterM, unit: 'm', low: 0, high: 0.95 * boreDiameterM });
  inRange({ name: 'leverRatio', value: end.leverRatio, unit: '1', low: 0.02, high: 50 });
  inRange({ name: 'massKg', value: end.massKg, unit: 'kg', low: 0, high: 1e5 });
  inRange({ name: 'closingAngleRad', value: end.closingAngleRad, unit: 'rad', low: 0, high: Math.PI });
  inRange({ name: 'frictionN', value: end.frictionN, unit: 'N', low: 0, high: 1e6 });
}
