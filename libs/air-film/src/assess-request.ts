import { z } from 'zod';
import { pointQuantities, type PointQuantity } from './point-quantity.js';

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
    z.strictObject({
      temperatureC: between(-40, 100, 'Cel'),
      pressurePa: between(1e4, 1e7, 'Pa'),
      relativeHumidityRatio: between(0, 1, '1').exactOptional(),
    }),
  ],
  {
    error: () =>
      'either viscosityPaS, pressurePa, meanFreePathM or temperatureC, pressurePa, relativeHumidityRatio? is expected',
  },
);

const share = between(0, 1, '1');

const nip = z.strictObject({
  rollerDiameterM: between(0.02, 3, 'm'),
  coverModulusPa: between(1e5, 3e11, 'Pa'),
  coverPoissonRatio: between(0, 0.5, '1').exactOptional(),
  coverThicknessM: between(1e-4, 0.2, 'm').exactOptional(),
  loadNPerM: between(0, 1e5, 'N/m'),
  bending: z
    .strictObject({
      bearingSpanM: between(0.02, 20, 'm'),
      bendingStiffnessNM2: between(1, 1e12, 'N m2'),
      contactWidthM: between(0.002, 15, 'm').exactOptional(),
      weightTowardsRollNPerM: between(-1e5, 1e5, 'N/m').exactOptional(),
      crownM: between(-0.01, 0.01, 'm').exactOptional(),
    })
    .exactOptional(),
  wrapBeforeNipRad: between(0, 6.28, 'rad').exactOptional(),
});

const quantityNames = Object.keys(pointQuantities) as [PointQuantity, ...PointQuantity[]];
const pointQuantity = z.enum(quantityNames, {
  error: () => `one of ${quantityNames.join(', ')} is expected`,
});

const limits = (low: number, high: number, unit: string) =>
  z
    .strictObject({ min: between(low, high, unit), max: between(low, high, unit) })
    .refine(({ min, max }) => min < max, { error: 'min below max is expected' });

/**
 * One operating point as the command line and the HTTP API take it. SI throughout; the unit stands in the key. Ranges are those of winders, narrower than what
 * the formulas bear, so that a value in the wrong unit is refused with the range.
 */
export const assessRequestSchema = z
  .strictObject({
    web: z.strictObject({
      widthM: between(0.002, 15, 'm'),
      caliperM: between(1e-6, 5e-3, 'm'),
      combinedRoughnessM: between(1e-9, 1e-4, 'm'),
      permeanceMPerPaS: between(0, 0.1, 'm/(Pa s)'),
      grammageKgPerM2: between(1e-3, 5, 'kg/m2').exactOptional(),
      frictionRatio: between(0.01, 2, '1').exactOptional(),
      modulusPa: between(1e6, 5e11, 'Pa').exactOptional(),
      profileRangeM: between(0, 1e-3, 'm').exactOptional(),
      thinLaneWidthRatio: between(0.001, 0.95, '1').exactOptional(),
    }),
    nip: nip.nullable(),
    nips: z
      .array(nip.extend({ whereWebArrives: z.boolean().exactOptional() }))
      .max(8)
      .exactOptional(),
    nipShares: z
      .strictObject({
        contactLostRatio: z
          .union([share, z.strictObject({ tendingSideRatio: share, driveSideRatio: share })], {
            error: () => '0 to 1 or { tendingSideRatio, driveSideRatio } is expected',
          })
          .exactOptional(),
        uncoveredWidthRatio: share.exactOptional(),
        webTouchesBeforeNip: z.boolean().exactOptional(),
      })
      .exactOptional(),
    air: air.exactOptional(),
    running: z.strictObject({
      speedMPerS: between(0, 100, 'm/s'),
      rollDiameterM: between(0.01, 5, 'm'),
      tensionNPerM: between(0.1, 1e5, 'N/m'),
      coreDiameterM: between(0, 2, 'm').exactOptional(),
    }),
    floatingWrapsAllowed: between(1, 10000, 'wraps').exactOptional(),
    boundaryFactor: between(0.05, 20, '1').exactOptional(),
    speedLimitMPerS: between(0.01, 100, 'm/s').exactOptional(),
    /** Units of the sentences in the answer. */
    display: z.enum(['metric', 'us']).exactOptional(),
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
    /** What the remedies are asked for; a margin of 10 % within wide limits if left out. */
    remedyFor: z
      .strictObject({
        marginRatio: between(-10, 0.95, '1').exactOptional(),
        limits: z
          .strictObject({
            speedMPerS: limits(0, 100, 'm/s').exactOptional(),
            nipLoadNPerM: limits(0, 1e5, 'N/m').exactOptional(),
            tensionNPerM: limits(0, 1e5, 'N/m').exactOptional(),
          })
          .exactOptional(),
        lengthLeftM: between(0, 1e6, 'm').exactOptional(),
        byDiameterM: between(0.01, 5, 'm').exactOptional(),
      })
      .exactOptional(),
    /** One quantity to be traded for another at the same margin, SI: what `compensatedBy` has to be when `changed` goes to `to`. */
    exchangeFor: z
      .strictObject({
        changed: pointQuantity,
        to: z.number({ error: () => 'a number is expected, in the SI unit of what is changed' }),
        compensatedBy: pointQuantity,
        limits: z
          .strictObject({ min: between(0, 1e5, 'in SI'), max: between(0, 1e5, 'in SI') })
          .refine(({ min, max }) => min < max, { error: 'min below max is expected' })
          .exactOptional(),
      })
      .refine(({ changed, compensatedBy }) => changed !== compensatedBy, {
        path: ['compensatedBy'],
        error: 'another quantity than changed is expected',
      })
      .exactOptional(),
    calibration: z.strictObject({ criticalSpeedUncertaintyRatio: between(0.001, 1, '1') }).exactOptional(),
  })
  .refine(({ nip, nips }) => nip === null || nips === undefined, {
    path: ['nips'],
    error: 'either nip or nips is expected: with nips, nip is null',
  })
  .refine(({ nips = [] }) => nips.filter(({ whereWebArrives }) => whereWebArrives === true).length <= 1, {
    path: ['nips'],
    error: 'at most one nip where the web arrives is expected',
  });

/** A checked request. */
export type AssessRequest = z.infer<typeof assessRequestSchema>;
