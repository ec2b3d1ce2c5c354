import { type Reason, reason } from '@edge-margin/units';
import type { AirPoint } from './air-point.js';
import { airTerms } from './air-terms.js';
import { arrivingNip } from './arriving-nip.js';
import { boundaryExcess } from './boundary-excess.js';
import { bracketedRoot } from './bracketed-root.js';
import { criticalSpeedOf, highestSpeedSearched } from './critical-speed.js';
import { pointNumbers, type PointNumbers } from './point-numbers.js';
import { pointQuantities, type PointQuantity, quantityInWords } from './point-quantity.js';
import { nipGoverns } from './wound-in-film.js';

/** One quantity of an operating point and the value it is to have, SI. */
export interface PointChange {
  readonly changed: PointQuantity;
  readonly to: number;
}

/** What the machine allows for a quantity, SI. */
export interface QuantityLimits {
  readonly min: number;
  readonly max: number;
}

/** What a second quantity would have to be for the margin to stay as it is. */
export type Exchange =
  | {
      readonly kind: 'exchange';
      readonly changed: PointQuantity;
      readonly from: number;
      readonly to: number;
      readonly compensatedBy: PointQuantity;
      readonly compensationFrom: number;
      readonly compensationTo: number;
      /** `compensationTo/compensationFrom - 1`. */
      readonly compensationRatio: number;
      readonly because: Reason;
    }
  | { readonly kind: 'cannot-help'; readonly because: Reason };

/**
 * Trades one quantity of an operating point for another at the same margin `1 - V/Vcrit`: what the second has to be when the first is changed.
 *
 * Solves `E(x', y, V'/(1 - m)) = 0` for y, with E the excess of the last allowed wrap's film over the boundary film and m the present margin. The excess
 * goes one way with each quantity, so there is at most one answer. Not a linear estimate: nip load in particular bends (about the sixth root).
 * @param limits where the answer must lie; the range of winders if left out, of the tension from half to twice.
 * @returns `cannot-help` with the reason where no value within the limits keeps the margin, or where there is no critical speed to keep away from.
 * @throws RangeError naming parameter, value, unit and range, also if both quantities are the same.
 */
export function exchange(
  point: AirPoint,
  change: PointChange,
  compensatedBy: PointQuantity,
  limits: QuantityLimits = limitsWhereNotGiven(pointNumbers(point), compensatedBy),
): Exchange {
  if (change.changed === compensatedBy)
    throw new RangeError(`compensatedBy: another quantity than ${change.changed} is needed`);
  const before = pointNumbers(point);
  const after = changedNumbers(before, change);
  if (arrivingNip(point) === null && [change.changed, compensatedBy].some(belongsToNip))
    return cannotHelp('no-nip', 'no roller touches the winding roll');
  if (compensatedBy === 'nipLoad' && before.nipLoadNPerM === 0)
    return cannotHelp('nip-open', 'the nip does not touch: there is no load to trade');
  const critical = criticalSpeedOf(airTerms(before), highestSpeedSearched(before));
  if (critical === undefined || before.speedMPerS === 0)
    return cannotHelp(
      'nothing-to-keep',
      'there is no critical speed to keep away from, so nothing has to be traded',
    );
  const found = compensation(after, compensatedBy, before.speedMPerS / critical, limits);
  if (found === undefined) return outOfReach(after, change, compensatedBy, limits);
  const { key } = pointQuantities[compensatedBy];
  const ratio = found / before[key] - 1;
  return {
    kind: 'exchange',
    changed: change.changed,
    from: before[pointQuantities[change.changed].key],
    to: change.to,
    compensatedBy,
    compensationFrom: before[key],
    compensationTo: found,
    compensationRatio: ratio,
    because: exchangeReason(before, change, compensatedBy, found),
  };
}

/** The range of winders; of the tension what somebody would still call a change of a set point: from half to twice (own choice). */
function limitsWhereNotGiven(numbers: PointNumbers, quantity: PointQuantity): QuantityLimits {
  const [min, max] = pointQuantities[quantity].range;
  if (quantity !== 'tension') return { min, max };
  return { min: 0.5 * numbers.tensionNPerM, max: 2 * numbers.tensionNPerM };
}

/** The value of a quantity at which `V/Vcrit` is the given share; undefined if none within the limits. */
function compensation(
  numbers: PointNumbers,
  quantity: PointQuantity,
  speedShare: number,
  limits: QuantityLimits,
): number | undefined {
  const { key, range } = pointQuantities[quantity];
  const low = Math.max(limits.min, range[0]);
  const high = Math.min(limits.max, range[1]);
  const excess = (logarithm: number) => {
    const tried = { ...numbers, [key]: Math.exp(logarithm) };
    return boundaryExcess(airTerms(tried), tried.speedMPerS / speedShare);
  };
  if (!(high > low)) throw new RangeError(`min, max: min < max is needed, got ${low} and ${high}`);
  const [atLow, atHigh] = [excess(Math.log(low)), excess(Math.log(high))];
  if (atLow > 0 === atHigh > 0 && atLow !== 0 && atHigh !== 0) return undefined;
  return Math.exp(bracketedRoot(excess, Math.log(low), Math.log(high), 1e-11));
}

/** The numbers with one quantity changed, checked. */
function changedNumbers(before: PointNumbers, change: PointChange): PointNumbers {
  const { key, unit, range } = pointQuantities[change.changed];
  if (!(change.to >= range[0] && change.to <= range[1]))
    throw new RangeError(`to: ${range[0]} to ${range[1]} ${unit} is needed, got ${change.to} ${unit}`);
  return { ...before, [key]: change.to };
}

function belongsToNip(quantity: PointQuantity): boolean {
  return quantity === 'nipLoad' || quantity === 'nipRollerDiameter';
}

function exchangeReason(
  before: PointNumbers,
  change: PointChange,
  compensatedBy: PointQuantity,
  found: number,
): Reason {
  const changed = pointQuantities[change.changed];
  const other = pointQuantities[compensatedBy];
  const percent = Math.round(100 * (found / before[other.key] - 1));
  const text =
    `a ${changed.words} of ${quantityInWords(change.changed, change.to, before.display)} instead of ${quantityInWords(change.changed, before[changed.key], before.display)} keeps its margin with a ` +
    `${other.words} of ${quantityInWords(compensatedBy, found, before.display)} instead of ${quantityInWords(compensatedBy, before[other.key], before.display)} (${percent > 0 ? '+' : ''}${percent} %)`;
  return reason('same-margin', text, {
    changed: change.changed,
    [`changedFrom${changed.suffix}`]: before[changed.key],
    [`changedTo${changed.suffix}`]: change.to,
    compensatedBy,
    [`compensationFrom${other.suffix}`]: before[other.key],
    [`compensationTo${other.suffix}`]: found,
    compensationRatio: found / before[other.key] - 1,
  });
}

function outOfReach(
  after: PointNumbers,
  change: PointChange,
  compensatedBy: PointQuantity,
  limits: QuantityLimits,
): Exchange {
  if (compensatedBy === 'tension' && nipGoverns(airTerms(after), after.speedMPerS))
    return cannotHelp('tension-under-nip', 'tension does not thin the film under an effective nip');
  const { suffix, words } = pointQuantities[compensatedBy];
  const { min: low, max: high } = limits;
  const text =
    `no ${words} from ${quantityInWords(compensatedBy, low, after.display)} to ${quantityInWords(compensatedBy, high, after.display)} keeps the margin at a ` +
    `${pointQuantities[change.changed].words} of ${quantityInWords(change.changed, change.to, after.display)}`;
  const changed = pointQuantities[change.changed];
  return cannotHelp('exchange-out-of-reach', text, {
    changed: change.changed,
    [`changedTo${changed.suffix}`]: change.to,
    compensatedBy,
    [`min${suffix}`]: low,
    [`max${suffix}`]: high,
  });
}

function cannotHelp(code: string, text: string, params: Reason['params'] = {}): Exchange {
  return { kind: 'cannot-help', because: reason(code, text, params) };
}
