import { type BuildUp, lengthToDiameter } from './build-up.js';
import { positive } from './positive.js';
import { type SpeedPlan, durationAlongPlan } from './speed-plan.js';

/**
 * Time to a diameter at a constant speed: `t = pi (D^2 - D0^2) / (4 h V)`. A diameter already reached gives 0.
 * @param buildUp present diameter as start diameter, and layer thickness.
 * @param diameterM diameter to reach, m, > 0.
 * @param speedMPerS web speed, m/s, > 0.
 */
export function timeToDiameter(buildUp: BuildUp, diameterM: number, speedMPerS: number): number {
  return Math.max(0, lengthToDiameter(buildUp, diameterM)) / positive('speedMPerS', speedMPerS, 'm/s');
}

/**
 * Time to a diameter along a planned speed: the time in which the plan winds `L = pi (D^2 - D0^2) / (4 h)`. A diameter already reached gives 0.
 * @param buildUp present diameter as start diameter, and layer thickness.
 * @param diameterM diameter to reach, m, > 0.
 * @param plan planned speed from now on.
 * @returns s, or `undefined` where the plan comes to rest before.
 */
export function timeToDiameterAlongPlan(
  buildUp: BuildUp,
  diameterM: number,
  plan: SpeedPlan,
): number | undefined {
  return durationAlongPlan(plan, Math.max(0, lengthToDiameter(buildUp, diameterM)));
}
