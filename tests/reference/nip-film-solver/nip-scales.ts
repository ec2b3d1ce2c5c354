/** One operating point of a nip between a covered roller and a stiff winding roll, in SI units. */
export interface NipPoint {
  readonly speedMPerS: number;
  readonly loadNPerM: number;
  readonly nipRollerRadiusM: number;
  readonly windingRollRadiusM: number;
  readonly coverModulusPa: number;
  readonly coverPoissonRatio: number;
  readonly viscosityPaS: number;
  readonly ambientPressurePa: number;
  readonly meanFreePathM: number;
}

/** The three numbers that the dimensionless problem knows, and the scales that lead back to SI units. */
export interface NipScales {
  /** lambda = 12 mu V R^2 / (p0 b^3) = (3 pi^2 / 4) / gE^2. */
  readonly lambda: number;
  /** p0 / pa, Hertz pressure over ambient pressure. */
  readonly compression: number;
  /** Mean free path at ambient pressure over the film unit b^2/R. */
  readonly slipRatio: number;
  /** gE = W / sqrt(U), the load number of a soft isoviscous line contact. */
  readonly loadNumber: number;
  readonly halfWidthM: number;
  readonly hertzPressurePa: number;
  readonly filmUnitM: number;
}

/**
 * Hertz line contact (b = sqrt(8 w R / (pi E')), p0 = 2 w / (pi b)) with E' = 2 E / (1 - nu^2) for a soft cover
 * on a stiff partner and 1/R = 1/R1 + 1/R2; both surfaces run at V.
 */
export const nipScales = (point: NipPoint): NipScales => {
  const radiusM = 1 / (1 / point.nipRollerRadiusM + 1 / point.windingRollRadiusM);
  const modulusPa = (2 * point.coverModulusPa) / (1 - point.coverPoissonRatio ** 2);
  const halfWidthM = Math.sqrt((8 * point.loadNPerM * radiusM) / (Math.PI * modulusPa));
  const hertzPressurePa = (2 * point.loadNPerM) / (Math.PI * halfWidthM);
  const filmUnitM = halfWidthM ** 2 / radiusM;
  return {
    lambda: (12 * point.viscosityPaS * point.speedMPerS * radiusM ** 2) / (hertzPressurePa * halfWidthM ** 3),
    compression: hertzPressurePa / point.ambientPressurePa,
    slipRatio: point.meanFreePathM / filmUnitM,
    loadNumber:
      point.loadNPerM /
      (modulusPa * radiusM) /
      Math.sqrt((point.viscosityPaS * point.speedMPerS) / (modulusPa * radiusM)),
    halfWidthM,
    hertzPressurePa,
    filmUnitM,
  };
};

/** lambda of a given load number gE: (3 pi^2 / 4) / gE^2. */
export const lambdaOfLoadNumber = (loadNumber: number): number => (0.75 * Math.PI ** 2) / loadNumber ** 2;
