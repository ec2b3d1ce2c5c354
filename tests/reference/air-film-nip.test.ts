import { assessAir } from '@edge-margin/air-film';
import { describe, expect, it } from 'vitest';
import { solveGasNip } from './nip-film-solver/gas-nip-film.js';
import { type KeptFilm, keptFilm } from './nip-film-solver/kept-film.js';
import { nipScales, type NipPoint } from './nip-film-solver/nip-scales.js';

const air = { viscosityPaS: 1.82e-5, pressurePa: 101_325, meanFreePathM: 68e-9 };

interface Winder {
  readonly name: string;
  readonly speed: number;
  readonly load: number;
  readonly roller: number;
  readonly roll: number;
  readonly modulus: number;
}

const nipPoint = ({ speed, load, roller, roll, modulus }: Winder): NipPoint => ({
  speedMPerS: speed,
  loadNPerM: load,
  nipRollerRadiusM: roller,
  windingRollRadiusM: roll,
  coverModulusPa: modulus,
  coverPoissonRatio: 0.5,
  viscosityPaS: air.viscosityPaS,
  ambientPressurePa: air.pressurePa,
  meanFreePathM: air.meanFreePathM,
});

function keptByLibrary({ speed, load, roller, roll, modulus }: Winder, meanFreePathM: number): number {
  const { airFilm } = assessAir({
    web: { widthM: 1, caliperM: 2e-5, combinedRoughnessM: 1e-6, permeanceMPerPaS: 0 },
    nip: { rollerDiameterM: 2 * roller, coverModulusPa: modulus, loadNPerM: load },
    air: { ...air, meanFreePathM },
    running: { speedMPerS: speed, rollDiameterM: 2 * roll, tensionNPerM: 200 },
  });
  return airFilm.keptByNipM ?? Number.NaN;
}

/** The direct solution, with and without slip; each winder is solved once. */
const solved = new Map<string, KeptFilm>();
function keptDirectly(winder: Winder, meanFreePathM: number): number {
  const point = nipPoint(winder);
  const key = JSON.stringify(point);
  const film = solved.get(key) ?? keptFilm(point);
  solved.set(key, film);
  return meanFreePathM === 0 ? film.keptWithoutSlipM : film.keptM;
}

/** Spread of the mass flux over the cross-sections of the solution, relative. */
function fluxSpread(problem: Parameters<typeof solveGasNip>[0]): number {
  const { grid, pressure, film } = solveGasNip(problem, 151);
  const fluxes = Array.from(grid.widths, (width, i) => {
    const [before, after, gap] = [pressure[i]!, pressure[i + 1]!, film[i]!];
    const density = 1 + (problem.compression * (before + after)) / 2;
    return density * gap - (density * gap ** 3 * (after - before)) / width / problem.lambda;
  });
  return (Math.max(...fluxes) - Math.min(...fluxes)) / Math.max(...fluxes);
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
  // Own earlier solutions on 801 nodes, without slip, um: the solver here is right within half a per cent; mass is conserved over the whole grid.
  it.each([
    [5, 300, 0.075, 0.15, 2.5e6, 1.7416],
    [10, 1000, 0.1, 0.3, 5e6, 2.2697],
    [20, 2000, 0.15, 0.5, 20e6, 3.1065],
    [30, 3000, 0.25, 0.6, 10e6, 5.2236],
    [10, 100, 0.1, 0.3, 5e6, 3.5326],
  ])(
    'at %s m/s and %s N/m (radii %s and %s m, %s Pa) is %s um',
    (speed, load, roller, roll, modulus, expectedUm) => {
      const winder = { name: '', speed, load, roller, roll, modulus };
      const kept = keptDirectly(winder, 0);
      const { compression, lambda } = nipScales(nipPoint(winder));
      expect(fluxSpread({ lambda, compression, slipRatio: 0 })).toBeLessThan(1e-6);
      expect(Math.abs((kept * 1e6) / expectedUm - 1)).toBeLessThan(0.005);
    },
  );
});

describe('the film that the nip lets in', () => {
  it.each(winders)('of $name is that of the direct solution, without and with slip', (winder) => {
    expect(nipScales(nipPoint(winder)).loadNumber).toBeGreaterThan(25);
    for (const meanFreePathM of [0, air.meanFreePathM]) {
      const ratio = keptByLibrary(winder, meanFreePathM) / keptDirectly(winder, meanFreePathM);
      // 0.4 % is what the correlation claims, and less than 0.5 % is the solver's grid.
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
        nipScales(nipPoint(winder)).loadNumber > 25 &&
        nipScales(nipPoint(winder)).loadNumber < 400 &&
        nipScales(nipPoint(winder)).compression < 7,
    );
    expect(covered.length).toBeGreaterThan(12);
    for (const winder of covered) {
      const ratio = keptByLibrary(winder, air.meanFreePathM) / keptDirectly(winder, air.meanFreePathM);
      // 0.8 % is what the correlation claims with slip, and less than 0.5 % is the solver's grid.
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
