import { z } from 'zod';
import { between, idField, ratio, span, wandering } from './fields.js';
import { programmeSchema } from './programme-schema.js';
import { idlerSchema, momentSchema, turningSchema } from './wave-shape-schema.js';

const unwindSchema = z
  .strictObject({
    diameterM: between(0.05, 6, 'm', 'Diameter of the unwinding roll at the start of the run'),
    coreDiameterM: between(0.02, 2, 'm', 'Its core: a new roll is spliced on there').default(0.1),
    newDiameterM: between(
      0.05,
      6,
      'm',
      'Diameter of the rolls that follow; left out: as the first',
    ).optional(),
    layerM: between(
      1e-6,
      5e-3,
      'm',
      'What a wrap of it is thick; left out: the caliper of the grade',
    ).optional(),
    axialM: between(0, 0.05, 'm', 'Sideways motion of the web, amplitude, once per turn').default(0),
    tensionRatio: ratio(0, 0.9, 'Tension pulses of the out-of-round roll, amplitude as a share').default(0),
    ...turningSchema,
  })
  .describe('Unwinding roll: its period shrinks as it empties');

const guideSchema = z
  .strictObject({
    timeS: between(0.05, 600, 's', 'Time constant with which it takes out an error'),
    deadbandM: between(0, 0.05, 'm', 'Errors smaller than this are left').default(0),
    rateMPerS: between(1e-5, 1, 'm/s', 'Fastest motion').default(0.05),
    driftMPerHour: z.number().min(-0.1).max(0.1).describe('Drift of its edge sensor (m/h)').default(0),
  })
  .describe('Web guide before the slitter');

const webSchema = z
  .strictObject({
    wander: wandering('m', 0.1, 'where the web leaves the unwinding roll').prefault({ rms: 0, timeS: 20 }),
    driftMPerHour: z.number().min(-1).max(1).describe('Steady drift sideways (m/h)').default(0),
    steps: z
      .array(
        z.strictObject({
          atS: between(0, 1e9, 's', 'When'),
          m: z.number().min(-0.1).max(0.1).describe('How far (m)'),
        }),
      )
      .max(200)
      .describe('Sudden moves sideways')
      .default([]),
    lanes: z
      .array(
        z.strictObject({
          fromM: between(0, 20, 'm', "Begin, from the web's tending edge (with a slitter: from knife 0)"),
          toM: between(0, 20, 'm', 'End'),
          ratio: ratio(0.8, 1.2, 'Caliper here over the mean caliper'),
        }),
      )
      .max(40)
      .describe('Caliper lanes; between them the caliper is the mean one')
      .default([]),
  })
  .prefault({});

const knifeSchema = z.strictObject({
  number: z.number().int().min(0).max(60).describe('0: cuts the tending edge of the first strip, and so on'),
  runOutM: between(0, 0.01, 'm', 'Axial run-out, amplitude').default(0),
  cutNoiseM: between(0, 0.005, 'm', 'Irregular error of the cut, rms').default(0),
  wearMPerKm: between(
    0,
    0.001,
    'm/km',
    'Added to that error per kilometre cut since the start of the run',
  ).default(0),
  ...turningSchema,
});

const slitterSchema = z
  .strictObject({
    bottomDiameterM: between(0.03, 1, 'm', 'Diameter of the bottom slitters'),
    overspeedRatio: ratio(-0.1, 0.3, 'Their speed over web speed, less 1').default(0),
    spanM: between(
      0.05,
      20,
      'm',
      'Free web before the knives: how far a web that moves sideways is cut aslant',
    ).default(1),
    strips: z
      .array(
        z.strictObject({
          station: idField.describe('Station that winds it'),
          widthM: between(0.002, 15, 'm', 'Width'),
        }),
      )
      .min(1)
      .max(60)
      .describe('Strips from the tending side; strip i lies between knife i and knife i + 1'),
    knives: z.array(knifeSchema).max(61).describe('Knives that are not perfect').default([]),
  })
  .describe('Slitter section');

const spliceSchema = z.strictObject({
  at: momentSchema,
  thicknessM: between(0, 0.01, 'm', 'Added thickness').default(1e-4),
  offsetM: z
    .number()
    .min(-0.05)
    .max(0.05)
    .describe('Step of the web sideways (m); a slitter trims it')
    .default(0),
});

const stopSchema = z.strictObject({
  at: momentSchema,
  forS: between(0, 1e5, 's', 'Standing, after slowing down'),
});

const breakSchema = z.strictObject({
  at: momentSchema,
  forS: between(1, 1e5, 's', 'Until the web is threaded again'),
  roll: z
    .enum(['goes-on', 'ends'])
    .describe('goes-on: spliced and wound on; ends: the set is taken off as it is')
    .default('goes-on'),
  stopsMPerS2: between(0.1, 50, 'm/s2', 'How hard it stops').default(5),
});

/** One web through unwinding roll, path and slitter to all stations of a winder, at one speed. */
export const lineSchema = z.strictObject({
  programme: programmeSchema,
  speedWander: wandering('1', 0.2, 'speed as a share').prefault({ rms: 0, timeS: 1 }),
  unwind: unwindSchema.optional(),
  web: webSchema,
  guide: guideSchema.optional(),
  idlers: z.array(idlerSchema).max(20).describe('Rollers before the slitter').default([]),
  slitter: slitterSchema.optional(),
  splices: z.array(spliceSchema).max(200).default([]),
  stops: z.array(stopSchema).max(200).default([]),
  breaks: z.array(breakSchema).max(50).default([]),
});

/** Spells in which the crew does not react. */
export const shiftSchema = z.strictObject({
  ...span.shape,
  reactRatio: ratio(0, 1, 'Chance that a thing asked for is done'),
});
