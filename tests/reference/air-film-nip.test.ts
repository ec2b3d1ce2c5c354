import { assessAir } from '@edge-margin/air-film';
import { describe, expect, it } from 'vitest';
import { gasNipSolver } from './air-film-gas-nip.js';

const air = { viscosityPaS: 1.82e-5, pressurePa: 101_325, meanFreePathM: 68e-9 };

interface Winder {
  readonly name: string;
  readonly speed: number;
  readonly load: number;
  readonly roller: number;
  readonly roll: number;
  readonly modulus: number;
}

/** Contact of a rubber cover (Poisson ratio 0.5) with a rigid roll, Hertz; written out again so that nothing is shared with the library. */
function contactOf({ speed, load, roller, roll, modulus }: Winder) {
  const reduced = (roller * roll) / (roller + roll);
  const half = Math.sqrt((8 * load * reduced) / (Math.PI * (8 / 3) * modulus));
  const peak = (2 * load) / (Math.PI * half);
  const scale = (half * half) / reduced;
  return {
    scale,
    softness:
      Math.sqrt(0.75) *
      Math.PI *
      Math.sqrt((peak * half ** 3) / (12 * air.viscosityPaS * speed * reduced ** 2)),
    nip: {
      viscousRatio: (12 * air.viscosityPaS * speed * reduced ** 2) / (peak * half ** 3),
      ambientRatio: air.pressurePa / peak,
    },
  };
}

function keptByLibrary({ speed, load, roller, roll, modulus }: Winder, meanFreePathM: number): number {
  const { airFilm } = assessAir({
    web: { widthM: 1, caliperM: 2e-5, combinedRoughnessM: 1e-6, permeanceMPerPaS: 0 },
    nip: { rollerDiameterM: 2 * roller, coverModulusPa: modulus, loadNPerM: load },
    air: { ...air, meanFreePathM },
    running: { speedMPerS: speed, rollDiameterM: 2 * roll, tensionNPerM: 200 },
  });
  return airFilm.keptByNipM ?? Number.NaN;
}

const solve = gasNipSolver(281);
function keptDirectly(winder: Winder, meanFreePathM: number): number {
  const { nip, scale } = contactOf(winder);
  const { keptRatio, fluxSpreadRatio } = solve({ ...nip, meanFreePathRatio: meanFreePathM / scale });
  expect(fluxSpreadRatio).toBeLessThan(1e-6);
  return keptRatio * scale;
}

/** A spread of winders, from film with light nips to board with heavy ones: load-speed ratio 25 to 220. */
const winders: readonly Winder[] = [
  { name: 'PET 12 um', speed: 5, load: 300, roller: 0.06, roll: 0.15, modulus: 3e6 },
  { name: 'BOPP 20 um', speed: 7, load: 400, roller: 0.08, roll: 0.25, modulus: 3e6 },
  { name: 'aluminium foil 7 um', speed: 8, load: 300, roller: 0.08, roll: 0.25, modulus: 5e6 },
  { name: 'LWC', speed: 30, load: 3000, roller: 0.25, roll: 0.5, modulus: 30e6 },
  { name: 'newsprint', speed: 35, load: 2500, roller: 0.25, roll: 0.5, modulus: 30e6 },
  { name: 'uncoated woodfree', speed: 25, load: 3000, roller: 0.25, roll: 0.5, modulus: 30e6 },
  { name: 'linerboard', speed: 25, load: 4000, roller: 0.25, roll: 0.6, modulus: 30e6 },
  { name: 'soft cover', speed: 10, load: 3000, roller: 0.1, roll: 0.3, modulus: 5e6 },
];

describe('the direct solution of the gas nip', () => {
  // Own earlier solutions on 801 nodes, without slip, um: the solver here is right within half a per cent.
  it.each([
    [5, 300, 0.075, 0.15, 2.5e6, 1.7416],
    [10, 1000, 0.1, 0.3, 5e6, 2.2697],
    [20, 2000, 0.15, 0.5, 20e6, 3.1065],
    [30, 3000, 0.25, 0.6, 10e6, 5.2236],
    [10, 100, 0.1, 0.3, 5e6, 3.5326],
  ])(
    'at %s m/s and %s N/m (radii %s and %s m, %s Pa) is %s um',
    (speed, load, roller, roll, modulus, expectedUm) => {
      const kept = keptDirectly({ name: '', speed, load, roller, roll, modulus }, 0);
      expect(Math.abs((kept * 1e6) / expectedUm - 1)).toBeLessThan(0.005);
    },
  );
});

describe('the film that the nip lets in', () => {
  it.each(winders)('of $name is that of the direct solution, without and with slip', (winder) => {
    expect(contactOf(winder).softness).toBeGreaterThan(25);
    for (const meanFreePathM of [0, air.meanFreePathM]) {
      const ratio = keptByLibrary(winder, meanFreePathM) / keptDirectly(winder, meanFreePathM);
      // 0.4 % is what the correlation claims, and up to 0.5 % is this solver's grid.
      expect(Math.abs(ratio - 1)).toBeLessThan(0.009);
    }
  });

  it('is that of the direct solution over the range of winders, slow to fast, light to heavy, soft to firm', () => {
    const range = [1.5, 6, 20, 45].flatMap((speed) =>
      [200, 1000, 5000].flatMap((load) =>
        [2e6, 1e7, 5e7].map((modulus) => ({ name: '', speed, load, roller: 0.15, roll: 0.4, modulus })),
      ),
    );
    const covered = range.filter(
      (winder) =>
        contactOf(winder).softness > 25 &&
        contactOf(winder).softness < 400 &&
        contactOf(winder).nip.ambientRatio > 1 / 7,
    );
    expect(covered.length).toBeGreaterThan(12);
    for (const winder of covered) {
      const ratio = keptByLibrary(winder, air.meanFreePathM) / keptDirectly(winder, air.meanFreePathM);
      // 0.8 % is what the correlation claims with slip, and up to 0.5 % is this solver's grid.
      expect(Math.abs(ratio - 1), JSON.stringify(winder)).toBeLessThan(0.013);
    }
  });

  it('of PET is right down to thin films, where "minus 2 mean free paths" is 4 % and 13 % too thin', () => {
    for (const [speed, tooThin] of [
      [1, 0.04],
      [0.5, 0.13],
    ] as const) {
      const winder = { ...winders[0]!, speed };
      const direct = keptDirectly(winder, air.meanFreePathM);
      expect(Math.abs(keptByLibrary(winder, air.meanFreePathM) / direct - 1)).toBeLessThan(0.013);
      const plain = keptDirectly(winder, 0) - 2 * air.meanFreePathM;
      expect(Math.abs(direct / plain - 1 - tooThin)).toBeLessThan(0.02);
    }
  });

  it('at low nip loads keeps what is said of it', () => {
    // Load-speed ratio 14 and 7, at 4.6 and 3.3 atmospheres: where the earlier correlation was 6 % and 11 % too thick.
    for (const load of [1000, 500]) {
      const winder = { ...winders[3]!, load };
      expect(Math.abs(keptByLibrary(winder, 0) / keptDirectly(winder, 0) - 1)).toBeLessThan(0.009);
    }
  });
});
