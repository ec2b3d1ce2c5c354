import { z } from 'zod';
import { between, estimated, idSchema, nameSchema } from './schema-figures.js';

/** Roughness of one face, by the method that measured it; metres throughout. */
const faceSchema = z.union([
  z.strictObject({ rqM: between(1e-9, 1e-4, 'm', 'Rms roughness Rq of the profile') }),
  z.strictObject({ raM: between(1e-9, 1e-4, 'm', 'Mean roughness Ra of the profile') }),
  z.strictObject({ ppsM: between(1e-7, 2e-5, 'm', 'PPS roughness (papers)') }),
  z.strictObject({ rzM: between(1e-9, 3e-4, 'm', 'Roughness height Rz: what keeps plastic films apart') }),
]);

/** A product grade: the web as far as its air film depends on it, and what rated rolls have said. */
export const gradeSchema = z.strictObject({
  id: idSchema,
  name: nameSchema,
  caliperM: between(1e-6, 5e-3, 'm', 'Caliper of one web'),
  caliperUncertaintyRatio: between(0, 1, '1', 'Relative standard uncertainty of the caliper').default(0.02),
  combinedRoughnessM: estimated(
    between(
      1e-9,
      1e-4,
      'm',
      'Combined rms roughness of the two faces that meet in the roll, sqrt(Rq1^2 + Rq2^2)',
    ),
  ).optional(),
  faces: z
    .array(faceSchema)
    .min(1)
    .max(2)
    .optional()
    .describe(
      'Roughness of the two faces as it was measured, instead of combinedRoughnessM; one entry: both alike',
    ),
  profileRangeM: between(
    0,
    1e-3,
    'm',
    'Caliper of the web less that of its thinnest lane, as it stays over the whole roll; tells where a nip does not press. Pessimistic: the roll gives way',
  ).optional(),
  rollProfileRangeM: between(
    0,
    0.05,
    'm',
    'Instead of profileRangeM: how much lower the radius of the lowest lane is on a finished roll of setEndDiameterM, as measured',
  ).optional(),
  thinLaneWidthRatio: between(
    0.001,
    0.95,
    '1',
    'Share of the width that the thin lane takes; 0.1 if left out',
  ).optional(),
  permeanceMPerPaS: estimated(
    between(0, 1e-1, 'm/(Pa s)', 'Air permeance of the web through its thickness'),
  ).optional(),
  gurleyS: between(0.01, 1e6, 's', 'Gurley air resistance, 100 mL, instead of permeanceMPerPaS').optional(),
  bendtsenMlPerMin: between(0.01, 1e5, 'mL/min', 'Bendtsen air flow, instead of permeanceMPerPaS').optional(),
  grammageKgPerM2: between(1e-3, 5, 'kg/m2', 'Mass per area').optional(),
  modulusPa: between(1e6, 5e11, 'Pa', 'Elastic modulus in machine direction').optional(),
  frictionRatio: between(0.01, 2, '1', 'Kinetic friction, web on web').optional(),
  setEndDiameterM: between(
    0.02,
    5,
    'm',
    'Diameter at which a set of this grade ends, unless the signal setEndDiameter tells',
  ).optional(),
  plannedSpeedMPerS: between(0.01, 70, 'm/s', 'Speed at which this grade is planned to run').optional(),
  floatingWrapsAllowed: between(
    1,
    10000,
    'wraps',
    'Outer wraps that may keep a film above the boundary film',
  ).default(3),
  boundaryFactor: between(
    0.05,
    20,
    '1',
    'Boundary film as a multiple of 3 x combined roughness; 1 until rated rolls calibrate it',
  ).default(1),
  calibration: z
    .strictObject({
      ratedRolls: z.number().int().min(1).describe('Rolls of this grade whose edges were rated'),
      criticalSpeedUncertaintyRatio: between(
        0.001,
        1,
        '1',
        'Relative standard uncertainty of the critical speed that the rated rolls left',
      ),
      approvedBy: z.string().min(1).max(80),
      approvedOn: z.iso.date(),
    })
    .describe('What rated rolls have confirmed. Without it the grade runs as a silent trial')
    .optional(),
  activated: z
    .boolean()
    .default(false)
    .describe('true: people are called for this grade. Needs a calibration'),
});

export type Grade = z.infer<typeof gradeSchema>;
