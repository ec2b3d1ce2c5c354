import { notNegative } from './positive.js';

/** One corner of a planned speed over time: straight lines between corners, the last speed holds. Two corners at one time are a step. */
export interface SpeedCorner {
  /** Time from now, s, >= 0, never before the corner in front of it. */
  readonly afterS: number;
  /** Web speed, m/s, >= 0. */
  readonly speedMPerS: number;
}

/** A planned speed: at least one corner, the first at 0 s. */
export type SpeedPlan = readonly SpeedCorner[];

interface Ramp {
  readonly fromMPerS: number;
  readonly toMPerS: number;
  readonly durationS: number;
}

/**
 * Length wound in a time along a planned speed: the area under the straight lines.
 * @param plan the planned speed.
 * @param durationS time from now, s, >= 0.
 * @throws RangeError if the plan is empty, does not begin at 0 s, runs backwards in time or holds a negative speed.
 */
export function lengthAlongPlan(plan: SpeedPlan, durationS: number): number {
  let left = notNegative('durationS', durationS, 's');
  let lengthM = 0;
  for (const ramp of rampsOf(plan)) {
    const usedS = Math.min(left, ramp.durationS);
    lengthM += usedS * (ramp.fromMPerS + 0.5 * shareOfRamp(ramp, usedS));
    left -= usedS;
    if (left <= 0) break;
  }
  return lengthM;
}

/**
 * Time in which a length is wound along a planned speed, the inverse of {@link lengthAlongPlan}.
 * @param plan the planned speed.
 * @param lengthM length to wind, m, >= 0.
 * @returns s, or `undefined` where the plan comes to rest before the length is wound.
 * @throws RangeError as {@link lengthAlongPlan}.
 */
export function durationAlongPlan(plan: SpeedPlan, lengthM: number): number | undefined {
  let left = notNegative('lengthM', lengthM, 'm');
  let durationS = 0;
  if (left === 0) return 0;
  for (const ramp of rampsOf(plan)) {
    const rampLengthM = rampLength(ramp);
    if (left <= rampLengthM) return durationS + timeWithin(ramp, left);
    left -= rampLengthM;
    durationS += ramp.durationS;
  }
  return undefined;
}

/** Root of `v t + a t^2 / 2 = length` in the form that neither cancels for small accelerations nor divides by them. */
function timeWithin(ramp: Ramp, lengthM: number): number {
  const v = ramp.fromMPerS;
  return (2 * lengthM) / (v + Math.sqrt(Math.max(0, v * v + 2 * shareOfRamp(ramp, lengthM))));
}

/** Acceleration times a time or length within the ramp, formed so that even the steepest ramp stays finite. */
function shareOfRamp({ fromMPerS, toMPerS, durationS }: Ramp, part: number): number {
  return durationS > 0 && Number.isFinite(durationS) ? (toMPerS - fromMPerS) * (part / durationS) : 0;
}

function rampLength({ fromMPerS, toMPerS, durationS }: Ramp): number {
  const meanMPerS = 0.5 * (fromMPerS + toMPerS);
  return meanMPerS === 0 ? 0 : meanMPerS * durationS;
}

function rampsOf(plan: SpeedPlan): readonly Ramp[] {
  const ramps: Ramp[] = [];
  let before: SpeedCorner | undefined;
  for (const corner of plan) {
    notNegative('plan.speedMPerS', corner.speedMPerS, 'm/s');
    if (before === undefined && corner.afterS !== 0)
      throw new RangeError(`plan.afterS: the first corner must be at 0 s, got ${corner.afterS} s`);
    if (before !== undefined) ramps.push(rampBetween(before, corner));
    before = corner;
  }
  if (before === undefined) throw new RangeError('plan: at least one corner is needed, got none');
  return [...ramps, { fromMPerS: before.speedMPerS, toMPerS: before.speedMPerS, durationS: Infinity }];
}

function rampBetween(before: SpeedCorner, corner: SpeedCorner): Ramp {
  const durationS = corner.afterS - before.afterS;
  if (!(durationS >= 0 && Number.isFinite(durationS))) {
    throw new RangeError(
      `plan.afterS: at least ${before.afterS} s is needed after the corner at ${before.afterS} s, got ${corner.afterS} s`,
    );
  }
  return { fromMPerS: before.speedMPerS, toMPerS: corner.speedMPerS, durationS };
}
