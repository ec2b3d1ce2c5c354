import { z } from 'zod';

/** 0.000001 becomes 1e-6. */
const figure = (x: number) =>
  x !== 0 && (Math.abs(x) < 1e-3 || Math.abs(x) >= 1e5) ? x.toExponential().replace('+', '') : String(x);

/** A number in an SI unit; what is outside the sensible range is refused with the range. */
const between = (low: number, high: number, unit: string) => {
  const suffix = unit === '1' ? '' : ` ${unit}`;
  const expected = `${figure(low)} to ${figure(high)}${suffix}`;
  return z
    .number({ error: () => `a number is expected, ${expected}` })
    .refine((x) => x >= low && x <= high, { error: `${expected} is expected` });
};

const uncertaintyRatio = between(0, 2, '1').exactOptional();

const air = z.union(
  [
    z.strictObject({
      viscosityPaS: between(1e-6, 1e-3, 'Pa s'),
      pressurePa: between(1e4, 1e7, 'Pa'),
      meanFreePathM: between(0, 1e-5, 'm'),
    }),
    z.strictObject({ temperatureC: between(-40, 100, 'Cel'), pressurePa: between(1e4, 1e7, 'Pa') }),
  ],
  { error: () => 'either viscosityPaS, pressurePa, meanFreePathM or temperatureC, pressurePa is expected' },
);

/** One operating point as the command line takes it. SI throughout; the unit stands in the key. */
export const questionSchema = z.strictObject({
  web: z.strictObject({
    widthM: between(0.002, 15, 'm'),
    caliperM: between(1e-6, 5e-3, 'm'),
    combinedRoughnessM: between(1e-9, 1e-4, 'm'),
    permeanceMPerPaS: between(0, 0.1, 'm/(Pa s)'),
    grammageKgPerM2: between(1e-3, 5, 'kg/m2').exactOptional(),
    frictionRatio: between(0.01, 2, '1').exactOptional(),
    modulusPa: between(1e6, 5e11, 'Pa').exactOptional(),
  }),
  nip: z
    .strictObject({
      rollerDiameterM: between(0.02, 3, 'm'),
      coverModulusPa: between(1e5, 3e11, 'Pa'),
      coverPoissonRatio: between(0, 0.5, '1').exactOptional(),
      coverThicknessM: between(1e-4, 0.2, 'm').exactOptional(),
      loadNPerM: between(0, 1e5, 'N/m'),
    })
    .nullable(),
  air: air.exactOptional(),
  running: z.strictObject({
    speedMPerS: between(0, 100, 'm/s'),
    rollDiameterM: between(0.01, 5, 'm'),
    tensionNPerM: between(0.1, 1e5, 'N/m'),
  }),
  floatingWrapsAllowed: between(1, 10000, 'wraps').exactOptional(),
  boundaryFactor: between(0.05, 20, '1').exactOptional(),
  speedLimitMPerS: between(0.01, 100, 'm/s').exactOptional(),
  uncertainties: z
    .strictObject({
      speedRatio: uncertaintyRatio,
      rollDiameterRatio: uncertaintyRatio,
      tensionRatio: uncertaintyRatio,
      nipLoadRatio: uncertaintyRatio,
      combinedRoughnessRatio: uncertaintyRatio,
      permeanceRatio: uncertaintyRatio,
      widthRatio: uncertaintyRatio,
      coverModulusRatio: uncertaintyRatio,
      nipRollerDiameterRatio: uncertaintyRatio,
      viscosityRatio: uncertaintyRatio,
    })
    .exactOptional(),
  calibration: z.strictObject({ criticalSpeedUncertaintyRatio: between(0.001, 1, '1') }).exactOptional(),
});
