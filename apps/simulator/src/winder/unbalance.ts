import { cosineOfTurns, PI } from '../math/portable-math.js';
import type { Nip } from '../scenario/scenario-schema.js';
import { lengthShare, type Stretch } from './stretch.js';

/** Force of the roller's unbalance on its two points, on half steps, away from the roll positive: `U omega^2 cos`. */
export function unbalancePushN(
  nip: Nip,
  stretch: Stretch,
  steps: number,
): readonly [Float64Array, Float64Array] | null {
  const { unbalance } = nip;
  if (unbalance === undefined || unbalance.kgM === 0) return null;
  const push = [new Float64Array(2 * steps + 1), new Float64Array(2 * steps + 1)] as const;
  const length = stretch.lengthM.to - stretch.lengthM.from;
  for (let half = 0; half <= 2 * steps; half += 1) {
    const share = half / (2 * steps);
    const speed = stretch.speedMPerS.from * (1 - share) + stretch.speedMPerS.to * share;
    const turns =
      (stretch.lengthM.from + lengthShare(stretch, share) * length) / (PI * nip.rollerDiameterM) +
      unbalance.phaseTurns;
    const omega = (2 * speed) / nip.rollerDiameterM;
    const forceN = (unbalance.kgM / 2) * omega * omega;
    push[0][half] = forceN * cosineOfTurns(turns);
    push[1][half] = forceN * unbalance.driveRatio * cosineOfTurns(turns + unbalance.driveShiftTurns);
  }
  return push;
}
