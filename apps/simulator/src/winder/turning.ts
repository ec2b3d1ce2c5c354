import { cosineOfTurns, PI } from '../math/portable-math.js';

/** How something that turns moves what it touches. */
export interface Turning {
  readonly phaseTurns: number;
  readonly shape: 'wave' | 'pulse';
  readonly pulseTurns: number;
}

/** Its motion as a share of the amplitude: one cosine a turn, or a smooth mark (raised cosine) once a turn. */
export function turnedShare({ phaseTurns, shape, pulseTurns }: Turning, turns: number): number {
  const at = turns + phaseTurns;
  if (shape === 'wave') return cosineOfTurns(at);
  const from = at - Math.round(at);
  return Math.abs(from) >= pulseTurns / 2 ? 0 : (1 + cosineOfTurns(from / pulseTurns)) / 2;
}

/** Web that passes during one turn of a roller that slips: `pi d/(1 - slip)`. */
export function rollerPeriodM(roller: { readonly diameterM: number; readonly slipRatio: number }): number {
  return (PI * roller.diameterM) / (1 - roller.slipRatio);
}

/** Web that passes during one turn of a bottom slitter: `pi d/(1 + x)`. */
export function knifePeriodM(slitter: {
  readonly bottomDiameterM: number;
  readonly overspeedRatio: number;
}): number {
  return (PI * slitter.bottomDiameterM) / (1 + slitter.overspeedRatio);
}
