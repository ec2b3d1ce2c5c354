import { nipScales, type NipPoint } from './nip-scales.js';
import { seededRandom } from './seeded-random.js';

type Range = readonly [low: number, high: number];

/** What one kind of winder covers; every quantity is drawn evenly on its logarithm. */
interface WinderKind {
  readonly kind: 'film and foil' | 'paper' | 'any';
  readonly count: number;
  readonly speedMPerS: Range;
  readonly loadNPerM: Range;
  readonly nipRollerRadiusM: Range;
  readonly windingRollRadiusM: Range;
  readonly coverModulusPa: Range;
}

export interface SweptPoint extends NipPoint {
  readonly kind: WinderKind['kind'];
}

/** Ranges are common practice (no source); 'any' takes them as wide as winders are built at all. */
const winderKinds: readonly WinderKind[] = [
  {
    kind: 'film and foil',
    count: 100,
    speedMPerS: [0.5, 15],
    loadNPerM: [50, 600],
    nipRollerRadiusM: [0.03, 0.15],
    windingRollRadiusM: [0.04, 0.5],
    coverModulusPa: [1e6, 1e7],
  },
  {
    kind: 'paper',
    count: 100,
    speedMPerS: [8, 45],
    loadNPerM: [500, 6000],
    nipRollerRadiusM: [0.1, 0.5],
    windingRollRadiusM: [0.05, 0.75],
    coverModulusPa: [5e6, 1e8],
  },
  {
    kind: 'any',
    count: 160,
    speedMPerS: [0.5, 45],
    loadNPerM: [50, 6000],
    nipRollerRadiusM: [0.03, 0.5],
    windingRollRadiusM: [0.04, 1],
    coverModulusPa: [1e6, 1e8],
  },
];

const LOAD_NUMBERS: Range = [5, 300];

/** Air at 101 325 Pa, and for every fourth point air at 80 kPa, where the mean free path is longer. */
const airs = [
  { viscosityPaS: 1.82e-5, ambientPressurePa: 101_325, meanFreePathM: 68e-9 },
  { viscosityPaS: 1.82e-5, ambientPressurePa: 80_000, meanFreePathM: 86.1e-9 },
] as const;

/** The operating points of the sweep: the same seed always gives the same points. Load numbers gE 5 to 300. */
export const sweptPoints = (seed: number): SweptPoint[] => {
  const random = seededRandom(seed);
  return winderKinds.flatMap((winderKind) =>
    Array.from({ length: winderKind.count }, (_, i) =>
      drawnPoint(winderKind, random, airs[i % 4 === 3 ? 1 : 0]),
    ),
  );
};

const drawnPoint = (winder: WinderKind, random: () => number, air: (typeof airs)[number]): SweptPoint => {
  for (;;) {
    const draw = ([low, high]: Range): number => Number((low * (high / low) ** random()).toPrecision(4));
    const point: SweptPoint = {
      kind: winder.kind,
      speedMPerS: draw(winder.speedMPerS),
      loadNPerM: draw(winder.loadNPerM),
      nipRollerRadiusM: draw(winder.nipRollerRadiusM),
      windingRollRadiusM: draw(winder.windingRollRadiusM),
      coverModulusPa: draw(winder.coverModulusPa),
      coverPoissonRatio: 0.5,
      ...air,
    };
    const { loadNumber } = nipScales(point);
    if (loadNumber >= LOAD_NUMBERS[0] && loadNumber <= LOAD_NUMBERS[1]) return point;
  }
};
