import { z } from 'zod';
import { between, idField, ratio, wandering } from './fields.js';
import { gatewaySchema, instrumentsSchema } from './instruments-schema.js';
import { nipSchema } from './nip-schema.js';

const programmeSchema = z.strictObject({
  threadSpeedMPerS: between(0.05, 10, 'm/s', 'Speed while the first wraps are laid'),
  threadS: between(0.2, 3600, 's', 'How long'),
  runSpeedMPerS: between(0.05, 70, 'm/s', 'Running speed'),
  accelerationMPerS2: between(0.01, 20, 'm/s2', 'Speeding up and slowing down'),
  setChangeS: between(1, 1e5, 's', 'Standing between two sets'),
});

/** What the operator does, once a roll, when a diameter or a time since the roll's start is reached. Undone at the set change. */
const actionSchema = z.strictObject({
  at: z.union([
    z.strictObject({ diameterM: between(0.01, 6, 'm', 'Diameter of the winding roll') }),
    z.strictObject({ afterS: between(0, 1e6, 's', 'Time since the roll was started') }),
  ]),
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
  programme: programmeSchema,
  tension: z.strictObject({
    tensionNPerM: between(0.1, 1e5, 'N/m', 'Tension at the core, per metre of width'),
    taperRatio: ratio(0.05, 2, 'Tension at the set end over that at the core').default(1),
    wander: wandering('1', 0.5, 'tension as a share').prefault({ rms: 0, timeS: 1 }),
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
    })
    .prefault({}),
  operator: z.array(actionSchema).max(20).default([]),
  instruments: instrumentsSchema.prefault({}),
  gateways: z
    .strictObject({ drive: gatewaySchema.prefault({}), nip: gatewaySchema.prefault({}) })
    .prefault({}),
});
