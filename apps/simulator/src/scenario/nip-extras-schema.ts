import { z } from 'zod';
import { between, ratio } from './fields.js';

const unbalanceSchema = z
  .strictObject({
    kgM: between(0, 1, 'kg m', 'Unbalance, mass times its radius, both ends together'),
    phaseTurns: ratio(-1, 1, 'Phase, in turns').default(0),
    driveRatio: ratio(0, 10, 'Drive end over tending end').default(1),
    driveShiftTurns: ratio(-1, 1, 'Phase of the drive end against the tending end, in turns').default(0),
  })
  .describe('Unbalance of the nip roller: a force that turns with it');

const selfExcitedSchema = z
  .strictObject({
    imprintRatio: ratio(0, 1, 'Share of a change of indentation that stays in the roll at each pass'),
    memoryRatio: ratio(0, 0.999, 'Share of the old deformation that is left at the next pass'),
    limitM: between(1e-6, 0.01, 'm', 'Deepest deformation: the roll gives no more').default(5e-4),
  })
  .describe('The roll keeps the print of the nip and meets it again one turn later: polygons that grow');

const bearingSchema = z
  .strictObject({
    end: z.enum(['tending', 'drive']),
    passesPerTurn: ratio(0.2, 40, "Pulses per turn of the nip roller, from the bearing's geometry"),
    slipRatio: ratio(0, 0.05, 'Share by which the rolling elements slip').default(0.01),
    accelerationMPerS2: between(0, 1000, 'm/s2', 'Height of a pulse'),
    ringHz: between(20, 10000, 'Hz', 'Frequency at which the housing rings').default(400),
    decayS: between(1e-4, 0.5, 's', 'Time constant of the ringing').default(0.004),
  })
  .describe('Damaged bearing: pulses that ring out; only in the wave forms');

const lineAt = { accelerationMPerS2: between(0, 100, 'm/s2', 'Amplitude') };

const waveSchema = z
  .strictObject({
    rateHz: between(50, 25600, 'Hz', 'Samples a second'),
    lengthS: between(0.02, 60, 's', 'Length of a block'),
    everyS: between(0.1, 1e5, 's', 'Time between the begins of two blocks'),
    noiseMPerS2: between(0, 100, 'm/s2', 'White noise of the accelerometer, rms').default(0),
    gain: z
      .number()
      .min(-1000)
      .max(1000)
      .describe('Factor of the accelerometer; -1: mounted the other way round')
      .default(1),
    load: z.boolean().describe('Also the force that the load cells see').default(false),
  })
  .describe('Wave forms as messages, one per end');

/** What a nip may have beside the bare minimum; all left out: a perfect roller and no wave forms. */
export const nipExtras = {
  dynamics: z
    .enum(['moving', 'still'])
    .describe('still: the load is the closing force, nothing swings; for long runs with scalar sensors only')
    .default('moving'),
  unbalance: unbalanceSchema.optional(),
  guideFrictionN: between(0, 1e5, 'N', 'Coulomb friction in the guides, each end').default(0),
  selfExcited: selfExcitedSchema.optional(),
  bearings: z.array(bearingSchema).max(4).default([]),
  gearMesh: z
    .strictObject({
      teeth: z.number().int().min(4).max(400).describe('Teeth of the gear on the nip roller'),
      ...lineAt,
    })
    .describe('Gear mesh of the roller drive; only in the wave forms')
    .optional(),
  structureLines: z
    .array(z.strictObject({ frequencyHz: between(0.5, 10000, 'Hz', 'Frequency'), ...lineAt }))
    .max(10)
    .describe('Lines of frame and motors at fixed frequencies; only in the wave forms')
    .default([]),
  wave: waveSchema.optional(),
  recipe: z
    .array(
      z.strictObject({
        diameterM: between(0.01, 6, 'm', 'Diameter'),
        loadNPerM: between(1, 1e5, 'N/m', 'Nip load there'),
      }),
    )
    .min(2)
    .max(40)
    .describe('Nip load by diameter, straight between the points; stands over loadNPerM and taperRatio')
    .optional(),
};
