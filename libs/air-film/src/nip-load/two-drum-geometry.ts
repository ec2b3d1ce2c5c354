import { inRange } from '../in-range.js';

/** The two drums that carry a winding roll. */
export interface TwoDrums {
  readonly backDrumDiameterM: number;
  readonly frontDrumDiameterM: number;
  /** Distance of the drum axes, m: the radii plus the gap. */
  readonly centreDistanceM: number;
  /** Height of the front drum's axis above the back drum's, m; 0 if left out. */
  readonly frontDrumHigherM?: number;
}

/** Where the roll lies: unit vectors from each drum axis to the roll axis, x towards the front, y up. */
export interface RollSeat {
  readonly back: Direction;
  readonly front: Direction;
}

export interface Direction {
  readonly x: number;
  readonly y: number;
}

/**
 * How a roll lies on two drums: the triangle of the three axes with the sides `R_back + r`, `R_front + r` and the centre distance.
 * @returns undefined where the roll does not lie on both drums: so small that it falls between them.
 */
export function rollSeat(drums: TwoDrums, rollDiameterM: number): RollSeat | undefined {
  const backM = (drums.backDrumDiameterM + rollDiameterM) / 2;
  const frontM = (drums.frontDrumDiameterM + rollDiameterM) / 2;
  const { centreDistanceM, frontDrumHigherM = 0 } = drums;
  const alongM = (centreDistanceM ** 2 + backM ** 2 - frontM ** 2) / (2 * centreDistanceM);
  const aboveSquared = backM ** 2 - alongM ** 2;
  if (aboveSquared <= 0) return undefined;
  const aboveM = Math.sqrt(aboveSquared);
  const rise = frontDrumHigherM / centreDistanceM;
  const run = Math.sqrt(1 - rise * rise);
  const place = { x: alongM * run - aboveM * rise, y: alongM * rise + aboveM * run };
  return {
    back: { x: place.x / backM, y: place.y / backM },
    front: {
      x: (place.x - centreDistanceM * run) / frontM,
      y: (place.y - centreDistanceM * rise) / frontM,
    },
  };
}

/**
 * Checks the drums.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function checkDrums(drums: TwoDrums): void {
  const { backDrumDiameterM: back, frontDrumDiameterM: front, centreDistanceM, frontDrumHigherM = 0 } = drums;
  inRange({ name: 'backDrumDiameterM', value: back, unit: 'm', low: 0.02, high: 3 });
  inRange({ name: 'frontDrumDiameterM', value: front, unit: 'm', low: 0.02, high: 3 });
  inRange({
    name: 'centreDistanceM',
    value: centreDistanceM,
    unit: 'm',
    low: (back + front) / 2,
    high: back + front,
  });
  const reach = 0.8 * centreDistanceM;
  inRange({ name: 'frontDrumHigherM', value: frontDrumHigherM, unit: 'm', low: -reach, high: reach });
}
