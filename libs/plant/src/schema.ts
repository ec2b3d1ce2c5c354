import { z } from 'zod';
import { figure } from './figure.js';
import { signalNames } from './signal-kinds.js';

/**
 * The plant file: one YAML document that describes the site's winders, their grades, where each signal comes from and the limits.
 * SI throughout; the unit stands in the key. This schema is the only description: types, JSON Schema and error messages come from it.
 */

/** An id; see its description. */
export const idSchema = z
  .string()
  .regex(
    /^[a-z0-9]([a-z0-9-]{0,30}[a-z0-9])?$/,
    'an id of 1 to 32 lower-case letters, digits and inner hyphens',
  )
  .describe(
    'Id: 1 to 32 lower-case letters, digits and inner hyphens; it becomes a topic level, a series tag and a part of addresses',
  );
const id = idSchema;
const name = z.string().min(1).max(80).describe('Name for people');
const between = (low: number, high: number, unit: string, what: string) => {
  const suffix = unit === '1' ? '' : ` ${unit}`;
  return z
    .number()
    .min(low, `at least ${figure(low)}${suffix}`)
    .max(high, `at most ${figure(high)}${suffix}`)
    .describe(`${what} (${figure(low)} to ${figure(high)}${suffix})`);
};
const ratio = (what: string) => between(0, 1, '1', what);

/** A measured or estimated property with its relative standard uncertainty. */
const estimated = (value: z.ZodNumber) =>
  z.union([
    value,
    z.strictObject({
      value,
      uncertaintyRatio: between(0, 2, '1', 'Relative standard uncertainty'),
    }),
  ]);

/** Roughness of one face, by the method that measured it; metres throughout. */
const faceSchema = z.union([
  z.strictObject({ rqM: between(1e-9, 1e-4, 'm', 'Rms roughness Rq of the profile') }),
  z.strictObject({ raM: between(1e-9, 1e-4, 'm', 'Mean roughness Ra of the profile') }),
  z.strictObject({ ppsM: between(1e-7, 2e-5, 'm', 'PPS roughness (papers)') }),
  z.strictObject({ rzM: between(1e-9, 3e-4, 'm', 'Roughness height Rz: what keeps plastic films apart') }),
]);

export const gradeSchema = z.strictObject({
  id,
  name,
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

/** Where the nip load comes from when nothing measures it. */
const loadFromSchema = z.union([
  z.strictObject({
    cylinders: z
      .strictObject({
        countPerEnd: z.number().int().min(1).max(8).default(1).describe('Cylinders at each end'),
        boreDiameterM: between(0.005, 1, 'm', 'Bore of a cylinder'),
        rodDiameterM: between(0, 0.9, 'm', 'Diameter of the piston rod').default(0),
        closesBy: z.enum(['piston side', 'rod side']).default('piston side'),
        leverRatio: between(0.05, 20, '1', 'Force at the nip over force of the cylinders').default(1),
        massPerEndKg: between(0, 50000, 'kg', 'Mass of roller and arms at one end, reduced to the nip'),
        closingAngleRad: between(
          0,
          3.15,
          'rad',
          'Direction of closing against straight down: 0 on top of the roll, 1.571 from the side',
        ),
        frictionPerEndN: between(
          0,
          1e5,
          'N',
          'Largest friction of guides and seals, as a force at the nip',
        ).default(0),
      })
      .describe('Lay-on roller: from the signal cylinderPressure, weight and lever'),
  }),
  z.strictObject({
    drums: z
      .strictObject({
        backDrumDiameterM: between(0.05, 3, 'm', 'Diameter of the back drum'),
        frontDrumDiameterM: between(0.05, 3, 'm', 'Diameter of the front drum'),
        centreDistanceM: between(0.05, 4, 'm', 'Distance of the drum axes'),
        frontDrumHigherM: between(
          -1,
          1,
          'm',
          "Height of the front drum's axis above the back drum's",
        ).default(0),
        webArrivesAt: z.enum(['back drum', 'front drum']).default('back drum'),
        coreMassKgPerM: between(0, 1000, 'kg/m', 'Mass of core and shaft per width').default(0),
      })
      .describe('Two-drum winder: from the weight of the roll and the signal riderLoad, by statics'),
  }),
]);

const nipSchema = z.strictObject({
  kind: z.enum(['lay-on roller', 'rider roll', 'drum']),
  rollerDiameterM: between(0.02, 3, 'm', 'Diameter of the roller at the nip'),
  coverModulusPa: estimated(between(1e5, 3e11, 'Pa', "Young's modulus of the cover")).optional(),
  coverShoreA: between(
    10,
    98,
    'Shore A',
    'Hardness of the cover, instead of coverModulusPa; sources disagree about what modulus it means',
  ).optional(),
  coverPoissonRatio: between(0, 0.5, '1', 'Poisson ratio of the cover').default(0.5),
  coverThicknessM: between(1e-4, 0.2, 'm', 'Thickness of the cover').optional(),
  loadFrom: loadFromSchema
    .optional()
    .describe('How the nip load is reckoned where no signal nipLoad tells it'),
  effectiveMassPerEndKg: between(
    0.1,
    50000,
    'kg',
    'Mass of roller and arms reduced to the nip, per end',
  ).optional(),
  naturalFrequencyHz: between(
    0.5,
    500,
    'Hz',
    'Natural frequency of the roller on its nip, measured or calculated; tells where resonances lie',
  ).optional(),
  staticForcePerEndN: between(
    1,
    1e6,
    'N',
    'Net static closing force per end, where it is not to be computed from nip load and width',
  ).optional(),
});

export const stationSchema = z.strictObject({
  id,
  name,
  coreDiameterM: between(0.01, 2, 'm', 'Outside diameter of the core'),
  diameterFrom: z
    .enum(['gauge', 'rotation', 'length'])
    .default('gauge')
    .describe(
      'What the diameter is taken from: signal diameter; speed and coreRotation; woundLength or speed, with caliper',
    ),
  rolls: z
    .array(z.strictObject({ id, widthM: between(0.002, 15, 'm', 'Width of this roll') }))
    .min(1)
    .describe('The rolls that lie side by side at this station, tending side first'),
  nip: nipSchema.nullable().describe('The nip where the web arrives, or null where none touches the roll'),
  defaultGrade: id.describe('Grade assumed until the signal grade tells'),
});

const machineLimitsSchema = z.strictObject({
  speedMPerS: z.strictObject({
    min: between(0, 70, 'm/s', 'Lowest winding speed').default(0),
    max: between(0.01, 70, 'm/s', 'Highest speed'),
  }),
  tensionNPerM: z.strictObject({
    min: between(0, 1e5, 'N/m', 'Lowest tension'),
    max: between(0.1, 1e5, 'N/m', 'Highest tension'),
  }),
  nipLoadNPerM: z
    .strictObject({
      min: between(0, 1e5, 'N/m', 'Lowest nip load'),
      max: between(0.1, 1e5, 'N/m', 'Highest nip load'),
    })
    .optional(),
  diameterM: z.strictObject({ max: between(0.02, 5, 'm', 'Largest roll') }),
});

const alarmTimingSchema = z.strictObject({
  onDelayS: between(0, 3600, 's', 'The condition must hold this long before the alarm is raised'),
  offDelayS: between(0, 3600, 's', 'The condition must be gone this long before the alarm clears'),
});

export const limitsSchema = z.strictObject({
  edgeRisk: alarmTimingSchema
    .extend({
      reached: ratio('Edge risk at which the boundary counts as reached').default(0.5),
      deadband: ratio('Edge risk must fall this far below the limit before the alarm may clear').default(0.1),
      responseS: between(
        0,
        3600,
        's',
        'Time that people and machine need from the alarm to the changed set point',
      ).default(30),
      lookAheadS: between(
        10,
        36000,
        's',
        'The alarm is raised when the earliest boundary lies no further ahead than this',
      ).default(1800),
      onDelayS: between(0, 3600, 's', 'The condition must hold this long before the alarm is raised').default(
        3,
      ),
      offDelayS: between(
        0,
        3600,
        's',
        'The condition must be gone this long before the alarm clears',
      ).default(10),
    })
    .prefault({}),
  nipBounce: alarmTimingSchema
    .extend({
      contactLossRatio: between(
        0.05,
        1,
        '1',
        'Peak inertia force towards lift-off over static nip force',
      ).default(0.8),
      swingRatio: between(
        0.01,
        1,
        '1',
        'Allowed swing of the nip load, (mean - minimum) / mean, per end',
      ).default(0.3),
      deadbandRatio: ratio(
        'Share of the limit by which the indicator must fall before the alarm may clear',
      ).default(0.1),
      onDelayS: between(0, 3600, 's', 'The condition must hold this long before the alarm is raised').default(
        3,
      ),
      offDelayS: between(
        0,
        3600,
        's',
        'The condition must be gone this long before the alarm clears',
      ).default(10),
    })
    .prefault({}),
  stale: z
    .strictObject({
      afterPeriods: between(
        1.5,
        1000,
        '1',
        'A signal is stale after this many of its expected periods',
      ).default(5),
    })
    .prefault({}),
  latenessAllowedS: between(
    0,
    60,
    's',
    "Readings this far behind the station's time still count for the assessment",
  ).default(1),
});

export const winderSchema = z.strictObject({
  id,
  name,
  simulated: z
    .boolean()
    .default(false)
    .describe('true: the readings come from a simulation, and every page says so'),
  limits: machineLimitsSchema,
  stations: z.array(stationSchema).min(1),
});

const pointer = z.string().regex(/^(\/([^~/]|~[01])*)*$/, 'a JSON pointer (RFC 6901), e.g. /speed/value');

const timeSchema = z.union([
  z
    .strictObject({
      pointer: pointer.describe('JSON pointer (RFC 6901) to the time stamp'),
      format: z
        .enum(['rfc3339', 'epoch-s', 'epoch-ms', 'epoch-us', 'epoch-ns'])
        .describe('RFC 3339 text with offset, or a count since 1970-01-01T00:00:00Z'),
    })
    .describe('Where the time of the measurement stands'),
  z.literal('arrival').describe('The message carries no time: the time of arrival is taken, and marked so'),
]);

export const signalMappingSchema = z.strictObject({
  signal: z.enum(signalNames as readonly [(typeof signalNames)[number], ...(typeof signalNames)[number][]]),
  pointer: pointer
    .optional()
    .describe('Where the value stands in a JSON payload; left out when the payload is the bare value'),
  time: timeSchema.optional().describe('Where the time stands, if not as told for the whole source'),
  winder: id.optional().describe('Winder, where the topic does not capture it'),
  station: id.optional().describe('Station, where the topic does not capture it'),
  end: z
    .enum(['tending', 'drive', 'both'])
    .default('both')
    .describe(
      'End of the nip: tending side, drive side, or not told apart. Left out where the topic captures {end}',
    ),
  unit: z
    .string()
    .default('')
    .describe('UCUM code of the unit in the payload; left out: the SI unit of the signal, N for a total'),
  factor: z
    .number()
    .refine((f) => f !== 0 && Number.isFinite(f), 'a factor other than 0')
    .default(1)
    .describe('Linear scale: value = factor x number + offset, before the unit is converted'),
  offset: z.number().default(0).describe('Added after the factor, in the unit of the payload'),
  sign: z
    .union([z.literal(1), z.literal(-1)])
    .default(1)
    .describe('-1 turns the sign round, e.g. an accelerometer mounted the other way'),
  total: z
    .boolean()
    .default(false)
    .describe('true: a total over the web width at the station; it is divided by that width'),
  plausible: z
    .strictObject({
      min: z.number().describe('Lowest plausible value, SI unit'),
      max: z.number().describe('Highest plausible value, SI unit'),
    })
    .optional()
    .describe('Range, in the SI unit of the signal, outside which a reading is not used'),
  expectedPeriodS: between(
    0.001,
    86400,
    's',
    'How often a reading is expected. Left out: report by exception, never stale',
  ).optional(),
  uncertainty: z.number().min(0).default(0).describe('Standard uncertainty in the SI unit of the signal'),
  uncertaintyRatio: between(
    0,
    1,
    '1',
    'Standard uncertainty as a share of the value; added in quadrature',
  ).default(0),
});

export const sourceSchema = z.strictObject({
  topic: z
    .string()
    .min(1)
    .max(200)
    .describe(
      'MQTT topic; {winder}, {station}, {end} (tending or drive) and {any} each capture one level, a last level # takes all that follows',
    ),
  payload: z.enum(['json', 'plain']).default('json').describe('plain: the payload is the bare value'),
  time: timeSchema.default('arrival'),
  sequence: pointer
    .optional()
    .describe('Where a number stands that counts up by one a message; gaps are recorded as lost messages'),
  winder: id.optional().describe('Winder of all its signals, where the topic does not capture it'),
  station: id.optional().describe('Station of all its signals, where the topic does not capture it'),
  signals: z.array(signalMappingSchema).min(1).describe('The signals that a message carries'),
});

export const plantSchema = z.strictObject({
  plantFileVersion: z.literal(1),
  site: z.strictObject({ id, name }),
  display: z.enum(['metric', 'us']).default('metric').describe('Units on the pages'),
  areas: z
    .array(
      z.strictObject({
        id,
        name,
        lines: z.array(z.strictObject({ id, name, winders: z.array(winderSchema).min(1) })).min(1),
      }),
    )
    .min(1),
  grades: z.array(gradeSchema).min(1),
  sources: z.array(sourceSchema).min(1),
  limits: limitsSchema.prefault({}),
});

export type PlantFile = z.infer<typeof plantSchema>;
export type Grade = z.infer<typeof gradeSchema>;
export type Winder = z.infer<typeof winderSchema>;
export type Station = z.infer<typeof stationSchema>;
export type Nip = z.infer<typeof nipSchema>;
export type Limits = z.infer<typeof limitsSchema>;
export type Source = z.infer<typeof sourceSchema>;
export type SignalMapping = z.infer<typeof signalMappingSchema>;
export type SourceTime = z.infer<typeof timeSchema>;
