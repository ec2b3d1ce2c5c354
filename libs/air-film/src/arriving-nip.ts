import { type Reason, reason } from '@edge-margin/units';
import type { AirPoint, WinderNip } from './air-point.js';

/**
 * The nip where the web meets the roll: the only one that holds air back. Null where there is none.
 * @throws RangeError if both `nip` and `nips` are given, or if the web is said to arrive at more than one.
 */
export function arrivingNip(point: AirPoint): WinderNip | null {
  if (point.nips === undefined) return point.nip;
  if (point.nip !== null) throw new RangeError('nip, nips: one of them is needed, got both');
  const arriving = point.nips.filter(({ whereWebArrives }) => whereWebArrives === true);
  if (arriving.length > 1)
    throw new RangeError(`nips: at most one nip where the web arrives is needed, got ${arriving.length}`);
  return arriving[0] ?? null;
}

/**
 * Names the nips that press on wraps already laid down. They press the floating wraps together once a turn, which hinders them from moving; how much is
 * not known (common practice, unpublished), so they are named and not counted: the floating of {@link assessAir} is the worst case.
 */
export function furtherNips(point: AirPoint): Reason | undefined {
  const arriving = arrivingNip(point);
  const count = (point.nips ?? []).filter((nip) => nip !== arriving && nip.loadNPerM > 0).length;
  if (count === 0) return undefined;
  const subject = count === 1 ? 'one further nip presses' : `${count} further nips press`;
  const text = `${subject} the top wraps together once a turn; that hinders them from moving and is not counted`;
  return reason('further-nips', text, { count });
}
