/** Share of the tension that is always left in the formulas: keeps the film finite where inertia takes all of the tension. */
const leastShare = 0.01;

export interface NetTensionTerms {
  readonly tensionNPerM: number;
  /** Mass of the web per area, kg/m2; 0 neglects inertia. */
  readonly grammageKgPerM2: number;
}

/**
 * The tension that presses the web on the roll, N/m: `T - rho_A V^2`. The rest only bends the web's path round the roll.
 * Source: momentum balance of a moving string (textbook mechanics). Matters above 30 m/s at light tension.
 * Never less than 1 % of the tension: there the web lifts off by itself and no film formula holds (see the validity notes).
 */
export function netTension(terms: NetTensionTerms, speedMPerS: number): number {
  const net = terms.tensionNPerM - terms.grammageKgPerM2 * speedMPerS * speedMPerS;
  return Math.max(net, leastShare * terms.tensionNPerM);
}

/** True where inertia takes more tension than the web has, less the rest that the formulas keep. */
export function tensionIsSpent(terms: NetTensionTerms, speedMPerS: number): boolean {
  return terms.grammageKgPerM2 * speedMPerS * speedMPerS >= (1 - leastShare) * terms.tensionNPerM;
}
