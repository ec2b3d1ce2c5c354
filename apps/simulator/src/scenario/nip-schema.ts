import { z } from 'zod';
import { between, ratio, wandering } from './fields.js';
import { nipExtras } from './nip-extras-schema.js';

const endsDiffer = {
  amplitudeM: between(0, 0.02, 'm', 'Amplitude at the tending end'),
  phaseTurns: ratio(-1, 1, 'Phase at the tending end, in turns').default(0),
  driveRatio: ratio(0, 10, 'Amplitude at the drive end over that at the tending end').default(1),
  driveShiftTurns: ratio(
    -1,
    1,
    'Phase of the drive end against the tending end, in turns; 0.5 rocks',
  ).default(0),
};

/** What moves the surface that the nip roller rides on. */
const excitationSchema = z.union([
  z
    .strictObject({
      order: z.number().int().min(1).max(60).describe('Waves round the winding roll'),
      ...endsDiffer,
    })
    .describe('Out-of-round or lobes of the winding roll'),
  z
    .strictObject({ rollerDiameterM: between(0.02, 5, 'm', 'Diameter of the turning part'), ...endsDiffer })
    .describe('Something that repeats once per turn of a roller at web speed'),
  z
    .strictObject({ frequencyHz: between(0.1, 400, 'Hz', 'Frequency'), ...endsDiffer })
    .describe('A fixed frequency, e.g. of the frame'),
]);

export const nipSchema = z.strictObject({
  rollerDiameterM: between(0.02, 3, 'm', 'Diameter of the nip roller'),
  coverModulusPa: between(1e5, 3e11, 'Pa', "Young's modulus of the cover, static"),
  coverPoissonRatio: ratio(0, 0.5, 'Poisson ratio of the cover').default(0.5),
  rollModulusPa: between(1e5, 1e12, 'Pa', 'Radial modulus of the winding roll; left out: rigid').optional(),
  stiffnessNPerM2: between(
    1e3,
    1e11,
    'N/m2',
    'Dynamic stiffness of cover and roll per metre of face, (N/m)/m',
  ),
  dampingRatio: ratio(0, 1, 'Damping of the contact, share of critical, bounce mode'),
  massKg: between(0.1, 1e5, 'kg', 'Mass of roller and arms reduced to the nip, both ends together'),
  rockInertiaRatio: ratio(
    0.2,
    5,
    'Moment of inertia about the middle over m w^2/12; 1: both modes have one frequency',
  ).default(1),
  inboardMassRatio: ratio(
    0,
    1,
    'Share of the mass between load cells and nip, which the cells do not see',
  ).default(0),
  loadNPerM: between(1, 1e5, 'N/m', 'Nip load at the core, per metre of web'),
  taperRatio: ratio(0.05, 3, 'Nip load at the set end over that at the core').default(1),
  leanRatio: ratio(-0.9, 0.9, '(tending - drive) / (tending + drive) of the load').default(0),
  drift: wandering('1', 0.5, 'the load of both ends as a share').prefault({ rms: 0, timeS: 60 }),
  leanDrift: wandering('1', 0.5, 'the lean').prefault({ rms: 0, timeS: 60 }),
  swing: z
    .strictObject({
      ratio: ratio(0, 0.9, 'Amplitude as a share of the load'),
      periodS: between(0.5, 1e4, 's', 'Period'),
    })
    .describe('Slow periodic swing of the load')
    .prefault({ ratio: 0, periodS: 10 }),
  excitation: z.array(excitationSchema).max(20).default([]),
  surfaceNoise: wandering('m', 1e-3, 'the surface under the roller').prefault({ rms: 0, timeS: 0.01 }),
  closesBeforeStartS: between(0.5, 600, 's', 'The nip closes this long before the web starts').default(2),
  ...nipExtras,
});
