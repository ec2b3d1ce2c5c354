import { z } from 'zod';
import { between, estimated } from './schema-figures.js';

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

/** The nip roller as a beam on two bearings. */
const bendingSchema = z
  .strictObject({
    bearingSpanM: between(0.05, 20, 'm', 'Distance of the bearings'),
    bendingStiffnessNM2: between(
      1,
      1e12,
      'N m2',
      'Bending stiffness E I of the roller, instead of tube',
    ).optional(),
    tube: z
      .strictObject({
        outerDiameterM: between(0.01, 3, 'm', 'Outside diameter of the tube, without cover'),
        innerDiameterM: between(0, 2.9, 'm', 'Inside diameter of the tube; 0 for a solid roller').default(0),
        modulusPa: between(1e9, 1e12, 'Pa', "Young's modulus of the tube; 206e9 for steel").default(206e9),
      })
      .optional()
      .describe('Tube of the roller, instead of bendingStiffnessNM2'),
    weightTowardsRollNPerM: between(
      -1e5,
      1e5,
      'N/m',
      'Part of its own weight that bends the roller towards the winding roll, per contact width',
    ).default(0),
    crownM: between(
      -0.01,
      0.01,
      'm',
      'How much larger the radius of the roller is in the middle of the web than at its edges',
    ).default(0),
  })
  .describe('What the nip roller bends by; left out: it counts as straight. Needs coverThicknessM');

/** The nip of a station. */
export const nipSchema = z.strictObject({
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
  bending: bendingSchema.optional(),
  wrapBeforeNipRad: between(
    0,
    6.28,
    'rad',
    'Angle over which the web lies on the roll before it comes to the nip; 0 or left out: it arrives in the nip',
  ).optional(),
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

export type Nip = z.infer<typeof nipSchema>;
