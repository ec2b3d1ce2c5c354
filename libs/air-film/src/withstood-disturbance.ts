/** The largest disturbance that the friction of the outermost wrap holds. */
export interface WithstoodDisturbance {
  /** Angle between web and roll, rad. */
  readonly skewRad: number;
  /** Taper of a conical roll: change of radius per width. */
  readonly coneRatio: number;
  /** Acceleration to the side, m/s2; only where the mass of the web is known. */
  readonly lateralAccelerationMPerS2?: number;
}

/**
 * How large a disturbance the outermost wrap withstands before it slides to the side (own derivation; the wrap presses with T/R all round, 2 pi T per width):
 *
 *     skew        2 pi mu_eff
 *     cone        tan a = mu_eff
 *     to the side mu_eff T/(R rho_A)
 *
 * A second quantity beside the margin: a slippery web moves at a smaller disturbance on the same film. Under further wraps the same holds with more
 * force. All are 0 where the wrap floats: then any disturbance moves it. A touching nip holds the wraps too, once a turn; that is not counted.
 * @param wrap friction between the wraps that the film leaves (0 or more), net tension N/m, radius m, mass per area kg/m2 (0: not known).
 */
export function withstoodDisturbance(wrap: {
  readonly effectiveFrictionRatio: number;
  readonly netTensionNPerM: number;
  readonly radiusM: number;
  readonly grammageKgPerM2: number;
}): WithstoodDisturbance {
  const { effectiveFrictionRatio, netTensionNPerM, radiusM, grammageKgPerM2 } = wrap;
  const still = { skewRad: 2 * Math.PI * effectiveFrictionRatio, coneRatio: effectiveFrictionRatio };
  if (grammageKgPerM2 === 0) return still;
  const pressurePa = netTensionNPerM / radiusM;
  return { ...still, lateralAccelerationMPerS2: (effectiveFrictionRatio * pressurePa) / grammageKgPerM2 };
}
