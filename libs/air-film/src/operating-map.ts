import type { AirPoint } from './air-point.js';
import { airTerms } from './air-terms.js';
import { arrivingNip } from './arriving-nip.js';
import { bracketedRoot } from './bracketed-root.js';
import { criticalSpeedOf, highestSpeedSearched } from './critical-speed.js';
import { type PointNumbers, pointNumbers } from './point-numbers.js';
import { pointQuantities } from './point-quantity.js';

/** One axis: `steps` values, evenly spaced, both ends included. */
export interface MapAxis<Quantity extends string> {
  readonly quantity: Quantity;
  /** SI; `to` above `from`. */
  readonly from: number;
  readonly to: number;
  /** 2 to 1000. */
  readonly steps: number;
}

export interface MapQuestion {
  readonly point: AirPoint;
  readonly x: MapAxis<'speed'>;
  readonly y: MapAxis<'diameter' | 'nipLoad' | 'tension'>;
}

/** A margin, or the code of why there is none: the machine can run at any speed up to twice its limit. */
export type MapMargin = number | 'no-critical-speed';

/** The margin over two quantities, all else as in the point. */
export interface OperatingMap {
  readonly x: readonly number[];
  readonly y: readonly number[];
  /** A row for each y, in it a margin for each x. */
  readonly marginRatio: readonly (readonly MapMargin[])[];
  /** Where the margin is 0, from the lowest y to the highest, as `[x, y]`; ends on the edge of the map. Empty if it does not cross the map. */
  readonly boundary: readonly (readonly [x: number, y: number])[];
}

/**
 * The air-entrainment margin `1 - V/Vcrit` over speed and one other quantity, with the line where it is 0.
 *
 * The critical speed does not depend on the speed, so a row costs one solution. It goes one way with diameter, nip load and tension: the boundary
 * enters and leaves the map at most once, and its ends are solved for.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function operatingMap({ point, x, y }: MapQuestion): OperatingMap {
  const numbers = pointNumbers(point);
  if (y.quantity === 'nipLoad' && arrivingNip(point) === null)
    throw new RangeError('y.quantity: nipLoad needs a nip, and the point has none');
  const speeds = axisValues('x', x, 0);
  const others = axisValues('y', y, y.quantity === 'nipLoad' ? 0 : pointQuantities[y.quantity].range[0]);
  const criticalAt = (value: number) => criticalWith(numbers, y.quantity, value);
  const criticals = others.map(criticalAt);
  return {
    x: speeds,
    y: others,
    marginRatio: criticals.map((critical) =>
      speeds.map((speed) => (critical === undefined ? 'no-critical-speed' : 1 - speed / critical)),
    ),
    boundary: boundaryLine(others, criticals, x, criticalAt),
  };
}

function criticalWith(
  numbers: PointNumbers,
  quantity: MapQuestion['y']['quantity'],
  value: number,
): number | undefined {
  const moved = { ...numbers, [pointQuantities[quantity].key]: value };
  return criticalSpeedOf(airTerms(moved), highestSpeedSearched(numbers));
}

function axisValues(name: string, axis: MapAxis<string>, lowest: number): readonly number[] {
  const { from, to, steps } = axis;
  if (!(Number.isInteger(steps) && steps >= 2 && steps <= 1000))
    throw new RangeError(`${name}.steps: a whole number 2 to 1000 is needed, got ${steps}`);
  if (!(from >= lowest && to > from && Number.isFinite(to)))
    throw new RangeError(`${name}.from, ${name}.to: ${lowest} <= from < to is needed, got ${from} and ${to}`);
  return Array.from({ length: steps }, (_, index) =>
    index === steps - 1 ? to : from + ((to - from) * index) / (steps - 1),
  );
}

/** The critical speeds inside the map, and where the line between two rows crosses an edge of it. */
function boundaryLine(
  others: readonly number[],
  criticals: readonly (number | undefined)[],
  { from, to }: MapAxis<'speed'>,
  criticalAt: (value: number) => number | undefined,
): readonly (readonly [number, number])[] {
  const line: (readonly [number, number])[] = [];
  const inside = (critical: number | undefined) =>
    critical !== undefined && critical >= from && critical <= to;
  others.forEach((other, row) => {
    const critical = criticals[row];
    const before = others[row - 1];
    if (before !== undefined) {
      for (const edge of edgesBetween(criticals[row - 1], critical, from, to)) {
        line.push([edge, crossing(criticalAt, edge, before, other)]);
      }
    }
    if (critical !== undefined && inside(critical)) line.push([critical, other]);
  });
  return line;
}

/** The edges of the map that lie strictly between two neighbouring critical speeds, in the order in which they are met. */
function edgesBetween(
  first: number | undefined,
  second: number | undefined,
  from: number,
  to: number,
): readonly number[] {
  const [a, b] = [first ?? Infinity, second ?? Infinity];
  const between = [from, to].filter((edge) => edge > Math.min(a, b) && edge < Math.max(a, b));
  return a <= b ? between : between.reverse();
}

/** Where the critical speed is a given one, between two values of the other quantity. */
function crossing(
  criticalAt: (value: number) => number | undefined,
  edge: number,
  low: number,
  high: number,
): number {
  const excess = (value: number) => Math.log((criticalAt(value) ?? Infinity) / edge);
  return bracketedRoot(excess, low, high, 1e-9 * (high - low));
}
