import { type DisplaySystem, known, type Quantity, type Reason, reason, unknown } from '@edge-margin/units';
import { inRange } from '../in-range.js';
import { inWords } from '../in-words.js';
import { firstOrder } from './first-order.js';
import { checkRoll, massPerWidth, type WoundRoll } from './roll-mass.js';
import { standardGravityMPerS2 } from './standard-gravity.js';
import { checkDrums, type Direction, type RollSeat, rollSeat, type TwoDrums } from './two-drum-geometry.js';

export type Drum = 'back drum' | 'front drum';

/** A roll on two drums, with or without a rider roll. */
export interface TwoDrumWinder {
  readonly drums: TwoDrums;
  readonly roll: WoundRoll;
  /** Load of the rider roll per contact width, N/m; 0 where none presses. */
  readonly riderLoadNPerM: Quantity;
  /** Where the rider roll touches, rad from the top of the roll, positive towards the front; 0 if left out. */
  readonly riderAngleRad?: number;
  /** The drum at whose nip the web meets the roll: only that nip keeps air out. */
  readonly webArrivesAt: Drum;
  /** Largest force along the drum faces per contact width, N/m (web tension plus the difference of the drives), if it is to be in the uncertainty; 0 if left out. */
  readonly tangentialForceNPerM?: number;
  /** Units of the sentences; metric if left out. */
  readonly display?: DisplaySystem;
}

/** Loads of the drums per contact width. */
export interface TwoDrumLoad {
  readonly backDrumNPerM: Quantity;
  readonly frontDrumNPerM: Quantity;
  /** Weight of the roll per contact width, N/m. */
  readonly weightNPerM: Quantity;
  /** The nip that keeps air out, and its load. */
  readonly excludesAir: Drum;
  readonly excludingLoadNPerM: Quantity;
  /** What the statics leave out. */
  readonly neglected: Reason;
}

/**
 * Nip loads of a two-drum winder by statics: weight of the roll and rider load, carried by the two drums along the lines from their axes to the roll's.
 *
 *     N_back n_back + N_front n_front = (0, W) + F_rider (sin a, cos a),   W = g rho pi (D^2 - d^2)/4
 *
 * per contact width, n the unit vectors of {@link rollSeat} (own derivation). Equal level drums share evenly, `N = (W + F)/(2 cos b)`. The load grows as the roll builds, without a rider roughly as D^2; a
 * rider roll that is relieved with diameter evens it out. Small rolls sit deep between the drums, where the wedge makes the load larger than half the weight.
 *
 * Left out: forces along the drum faces (web tension, torque difference of the drums), which shift load between the drums and into the wedge. Their band can be given; it then joins the
 * uncertainty as an even distribution at each drum.
 * @returns unknown loads where diameter, density or rider load is, where the roll is so small that it falls between the drums, or where statics would lift it off a drum.
 * @throws RangeError if a dimension makes no sense.
 */
export function twoDrumLoad(winder: TwoDrumWinder): TwoDrumLoad {
  checkWinder(winder);
  const { roll, webArrivesAt } = winder;
  const loads = [drumLoad(winder, 'back drum'), drumLoad(winder, 'front drum')] as const;
  const lacking = loads.find(({ kind }) => kind === 'unknown');
  // Where the roll would leave one drum, the load of the other means nothing either.
  const [backDrumNPerM, frontDrumNPerM] = lacking === undefined ? loads : [lacking, lacking];
  return {
    backDrumNPerM,
    frontDrumNPerM,
    weightNPerM: firstOrder(
      (d = 0, density = 0) => weight(roll, d, density),
      [roll.diameterM, roll.bulkDensityKgPerM3],
    ),
    excludesAir: webArrivesAt,
    excludingLoadNPerM: webArrivesAt === 'back drum' ? backDrumNPerM : frontDrumNPerM,
    neglected: tangentialForces,
  };
}

const tangentialForces = reason(
  'tangential-forces-neglected',
  'by weight and rider load alone: web tension and the torque difference of the drums are left out',
);

/** Two inputs at the end: the tangential forces at back and front drum, each 0 with the uncertainty of its band. */
function drumLoad(winder: TwoDrumWinder, drum: Drum): Quantity {
  const { drums, roll, riderLoadNPerM, riderAngleRad = 0, tangentialForceNPerM = 0 } = winder;
  const { diameterM } = roll;
  if (diameterM.kind === 'known') {
    const impossible = whyNoSeat(drums, diameterM.value - diameterM.uncertainty, winder.display ?? 'metric');
    if (impossible !== undefined) return unknown(impossible);
  }
  const band = known(0, tangentialForceNPerM / Math.sqrt(3));
  const load = firstOrder(
    (d = 0, density = 0, rider = 0, back = 0, front = 0) => {
      const seat = rollSeat(drums, d);
      if (seat === undefined) return 0;
      const along = sum(scaled(tangent(seat.back), back), scaled(tangent(seat.front), front));
      const carried = {
        x: rider * Math.sin(riderAngleRad) - along.x,
        y: weight(roll, d, density) + rider * Math.cos(riderAngleRad) - along.y,
      };
      return shareOf(drum, seat, carried);
    },
    [diameterM, roll.bulkDensityKgPerM3, riderLoadNPerM, band, band],
  );
  return load.kind === 'known' && load.value <= 0 ? unknown(liftedOff(drum, load.value)) : load;
}

/** Load of one drum under a force that both carry: the solution of two equations by Cramer's rule. */
function shareOf(drum: Drum, { back, front }: RollSeat, carried: Direction): number {
  const determinant = back.x * front.y - back.y * front.x;
  return drum === 'back drum'
    ? (carried.x * front.y - carried.y * front.x) / determinant
    : (back.x * carried.y - back.y * carried.x) / determinant;
}

/** Direction along the roll's face at a drum. */
function tangent({ x, y }: Direction): Direction {
  return { x: y, y: -x };
}

function scaled({ x, y }: Direction, factor: number): Direction {
  return { x: factor * x, y: factor * y };
}

function sum(a: Direction, b: Direction): Direction {
  return { x: a.x + b.x, y: a.y + b.y };
}

function weight(
  { coreDiameterM, coreMassKgPerM = 0 }: WoundRoll,
  diameterM: number,
  density: number,
): number {
  return standardGravityMPerS2 * (massPerWidth(diameterM, coreDiameterM, density) + coreMassKgPerM);
}

function whyNoSeat(drums: TwoDrums, rollDiameterM: number, system: DisplaySystem): Reason | undefined {
  if (rollSeat(drums, rollDiameterM) !== undefined) return undefined;
  const text = `a roll of ${inWords('diameter', rollDiameterM, system)} does not lie on both drums`;
  return reason('roll-between-drums', text, { rollDiameterM });
}

function liftedOff(drum: Drum, loadNPerM: number): Reason {
  const text = `by weight and rider load the roll would leave the ${drum}: the figures or the geometry cannot be right`;
  return reason('roll-leaves-drum', text, { drum, loadNPerM });
}

function checkWinder({
  drums,
  roll,
  riderLoadNPerM,
  riderAngleRad = 0,
  tangentialForceNPerM = 0,
}: TwoDrumWinder): void {
  checkDrums(drums);
  checkRoll(roll);
  inRange({ name: 'riderAngleRad', value: riderAngleRad, unit: 'rad', low: -Math.PI / 2, high: Math.PI / 2 });
  inRange({ name: 'tangentialForceNPerM', value: tangentialForceNPerM, unit: 'N/m', low: 0, high: 1e5 });
  if (riderLoadNPerM.kind === 'known') {
    inRange({ name: 'riderLoadNPerM', value: riderLoadNPerM.value, unit: 'N/m', low: 0, high: 1e5 });
  }
}
