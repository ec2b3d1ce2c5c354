import { z } from 'zod';
import { between, idField, ratio, wandering } from './fields.js';
import { gatewaySchema, instrumentsSchema } from './instruments-schema.js';
import { shiftSchema } from './line-schema.js';
import { nipSchema } from './nip-schema.js';
import { programmeSchema } from './programme-schema.js';
import { idlerSchema, momentSchema } from './wave-shape-schema.js';

/** What the operator does, once a roll, when a diameter or a time since the roll's start is reached. Undone at the set change. */
const actionSchema = z.strictObject({
  at: z.union([
    z.strictObject({ diameterM: between(0.01, 6, 'm', 'Diameter of the winding roll') }),
    z.strictObject({ afterS: between(0, 1e6, 's', 'Time since the roll was started') }),
    z
      .strictObject({
        swingAbove: ratio(0.01, 1, 'Load swing that the crew sees at either end'),
        forS: between(0, 600, 's', 'Seen for so long'),
        reactionS: between(0, 3600, 's', 'Done so long after').default(5),
      })
      .describe('A crew that watches the load cells'),
  ]),
  chance: ratio(0, 1, 'Chance that it is done at all').default(1),
  speedRatio: ratio(0.02, 3, 'New speed over the running speed').optional(),
  nipLoadRatio: ratio(0.05, 5, 'New nip load over the planned load').optional(),
});

export const stationSchema = z.strictObject({
  id: idField,
  grade: idField,
  widthM: between(0.002, 15, 'm', 'Width of web under the nip'),
  coreDiameterM: between(0.01, 2, 'm', 'Outside diameter of the core'),
  setEndDiameterM: between(0.02, 6, 'm', 'Diameter at which the set ends'),
  firstDiameterM: between(
    0.01,
    6,
    'm',
    'Diameter at which the run finds the first roll; left out: the core',
  ).optional(),
  buriedPressurePa: between(0, 2e6, 'Pa', 'Pressure between wraps once they are buried').default(50e3),
  programme: programmeSchema
    .describe('Left out where the winder has a line: its programme holds for every station')
    .optional(),
  tension: z.strictObject({
    tensionNPerM: between(0.1, 1e5, 'N/m', 'Tension at the core, per metre of width'),
    taperRatio: ratio(0.05, 2, 'Tension at the set end over that at the core').default(1),
    wander: wandering('1', 0.5, 'tension as a share').prefault({ rms: 0, timeS: 1 }),
    recipe: z
      .array(
        z.strictObject({
          diameterM: between(0.01, 6, 'm', 'Diameter'),
          tensionNPerM: between(0.1, 1e5, 'N/m', 'Tension there'),
        }),
      )
      .min(2)
      .max(40)
      .describe('Tension by diameter, straight between the points; stands over tensionNPerM and taperRatio')
      .optional(),
  }),
  speedWander: wandering('1', 0.2, 'speed as a share').prefault({ rms: 0, timeS: 1 }),
  nip: nipSchema.nullable().describe('null: nothing touches the roll'),
  path: z
    .strictObject({
      wander: wandering('m', 0.05, 'where the web arrives').prefault({ rms: 0, timeS: 20 }),
      skew: wandering('rad', 0.05, 'the angle at which the web arrives').prefault({ rms: 0, timeS: 1 }),
      spanM: between(0.05, 20, 'm', 'Free web before the roll').default(1),
      steeringM: between(
        -0.02,
        0.02,
        'm',
        'Sideways move of the laid wrap for a whole lean of the nip',
      ).default(0),
      narrowingRatio: ratio(0, 3, 'Share of the theoretical narrowing by the nip that happens').default(0.3),
      idlers: z.array(idlerSchema).max(20).describe('Rollers between slitter and winding roll').default([]),
      shaft: z
        .strictObject({
          playM: between(0, 0.05, 'm', 'End play: the shaft floats within this'),
          timeS: between(0.05, 1e4, 's', 'Correlation time of the floating').default(5),
          jumpM: between(0, 0.02, 'm', 'Sudden moves when speed changes, largest').default(0),
        })
        .describe('Core, shaft and chucks; all rolls of the station move together')
        .optional(),
    })
    .prefault({}),
  rollBody: z
    .strictObject({
      radialModulusPa: between(
        1e5,
        1e12,
        'Pa',
        'Radial modulus of the web stack; left out: only gaps give way',
      ).optional(),
      yieldRatio: ratio(0, 1, 'Share of lane differences that the roll evens out by yielding').default(0.5),
    })
    .prefault({}),
  gaugeAtM: between(
    0,
    15,
    'm',
    "Where the diameter is gauged, from the first strip's tending edge; left out: the mean",
  ).optional(),
  gradeChanges: z
    .array(z.strictObject({ at: momentSchema, grade: idField }))
    .max(10)
    .describe('Grade changes inside a set; the next set begins with the planned grade')
    .default([]),
  shifts: z
    .array(shiftSchema)
    .max(40)
    .describe('How readily the crew of each shift does what script or caller asks; outside: always')
    .default([]),
  operator: z.array(actionSchema).max(20).default([]),
  instruments: instrumentsSchema.prefault({}),
  gateways: z
    .strictObject({ drive: gatewaySchema.prefault({}), nip: gatewaySchema.prefault({}) })
    .prefault({}),
});
