import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  contactGrid,
  type ContactGrid,
  extentFor,
} from '../../../../tests/reference/nip-film-solver/contact-grid.js';
import { refineGasNip, solveGasNip } from '../../../../tests/reference/nip-film-solver/gas-nip-film.js';
import { layerKernel } from '../fixtures/bonded-layer.js';
import { nipTerms, keptNipFilm } from '../nip-film.js';
import { equivalentHalfSpace } from './equivalent-half-space.js';
import { layerRatio } from './layer-ratio.js';
import type { LayeredNip } from './layered-contact.js';

/** A nip as the equations know it. */
interface NipCase {
  /** `12 mu V R^2/(p_H a_H^3)`. */
  readonly lambda: number;
  /** Hertz pressure over ambient pressure. */
  readonly compression: number;
  readonly poissonRatio: number;
  /** `a_H/t`. */
  readonly thinness: number;
}

/**
 * The film kept under a cover of finite thickness, over a_H^2/R, by direct solution: the equations of the gas nip (tests/reference/nip-film-solver) with the cover's exact
 * deflection in place of the half-space's. The mesh is drawn together at the true edges of the contact.
 */
function keptDirectly({ lambda, compression, poissonRatio, thinness }: NipCase): number {
  const place = { thinness, poissonRatio };
  const scale = layerRatio('halfWidth', place);
  const own = contactGrid(extentFor(lambda / layerRatio('edgeGradient', place) ** 8, 181));
  const grid = withLayer(stretched(own, scale), thinness, poissonRatio);
  const pressure = grid.nodes.map((x) => Math.sqrt(Math.max(0, 1 - (x / scale) ** 2)) / scale);
  const keptFilm = lambda ** 0.6;
  let solution = refineGasNip(
    { lambda, compression: 0.4, slipRatio: 0 },
    { grid, pressure, keptFilm, approach: 1.5 * keptFilm - leastDeflection(grid, pressure) },
  );
  for (let c = 0.4; c < compression; c *= 4 / 3) {
    solution = refineGasNip(
      { lambda, compression: Math.min(compression, (4 / 3) * c), slipRatio: 0 },
      solution,
    );
  }
  return solution.keptFilm;
}

/** All lengths times a factor: the logarithm shifts by a constant, which the approach takes up. */
function stretched(grid: ContactGrid, factor: number): ContactGrid {
  const scale = (values: Float64Array) => values.map((value) => factor * value);
  return {
    nodes: scale(grid.nodes),
    midpoints: scale(grid.midpoints),
    widths: scale(grid.widths),
    deflection: scale(grid.deflection),
  };
}

/** Adds `(1/pi) integral of G((X - S) a_H/t)` over each hat function, three-point Gauss an element; the kernel has died out at 20 thicknesses. */
function withLayer(grid: ContactGrid, thinness: number, poissonRatio: number): ContactGrid {
  const kernel = layerKernel(poissonRatio, 20);
  const smooth = (y: number) => (Math.abs(y) < 20 ? kernel(y) : Math.log(Math.abs(y)));
  const deflection = Float64Array.from(grid.deflection);
  const count = grid.nodes.length;
  grid.midpoints.forEach((x, i) => {
    grid.widths.forEach((width, j) => {
      for (const [place, share] of gauss) {
        const value = (smooth((x - grid.nodes[j]! - place * width) * thinness) * share * width) / Math.PI;
        deflection[i * count + j]! += value * (1 - place);
        deflection[i * count + j + 1]! += value * place;
      }
    });
  });
  return { ...grid, deflection };
}

const gauss = [
  [0.5 - Math.sqrt(0.15), 5 / 18],
  [0.5, 8 / 18],
  [0.5 + Math.sqrt(0.15), 5 / 18],
] as const;

function leastDeflection(grid: ContactGrid, pressure: Float64Array): number {
  const count = grid.nodes.length;
  return grid.midpoints
    .map((x, i) => pressure.reduce((sum, p, j) => sum + grid.deflection[i * count + j]! * p, (x * x) / 2))
    .reduce((least, value) => Math.min(least, value));
}

const halfSpaceDirectly = (lambda: number, compression: number) =>
  solveGasNip({ lambda, compression, slipRatio: 0 }, 181).keptFilm;

const air = { viscosityPaS: 1.82e-5, pressurePa: 101_325, meanFreePathM: 0 };

/** The case as a nip of 3 mm Hertz half width and 100 mm reduced radius. */
function asNip({ lambda, compression, poissonRatio, thinness }: NipCase) {
  const [hertzM, reducedRadiusM] = [3e-3, 0.1];
  const peakPa = compression * air.pressurePa;
  const nip: LayeredNip = {
    loadNPerM: (Math.PI / 2) * hertzM * peakPa,
    reducedRadiusM,
    coverModulusPa: ((2 * reducedRadiusM * peakPa) / hertzM) * (1 - poissonRatio ** 2),
    coverPoissonRatio: poissonRatio,
    coverThicknessM: hertzM / thinness,
  };
  const speedMPerS = (lambda * peakPa * hertzM ** 3) / (12 * air.viscosityPaS * reducedRadiusM ** 2);
  return { nip, speedMPerS, filmUnitM: hertzM ** 2 / reducedRadiusM };
}

function keptByFormula(nip: LayeredNip, loadNPerM: number, speedMPerS: number): number {
  const terms = nipTerms(
    {
      rollerDiameterM: 4 * nip.reducedRadiusM,
      rollDiameterM: 4 * nip.reducedRadiusM,
      coverModulusPa: nip.coverModulusPa,
      coverPoissonRatio: nip.coverPoissonRatio,
      loadNPerM,
    },
    air,
  );
  return keptNipFilm(terms, speedMPerS);
}

const cases: readonly NipCase[] = [0.0003, 0.003, 0.03].flatMap((lambda) =>
  [0.5, 3].flatMap((compression) =>
    [
      [0.3, 1],
      [0.5, 0.5],
      [0.5, 1],
      [0.45, 2],
    ].map(([poissonRatio = 0.5, thinness = 1]) => ({ lambda, compression, poissonRatio, thinness })),
  ),
);

describe('the half-space that lets the same air through as a thin cover', () => {
  // Own numerical solutions of both problems on like meshes: what is left is the error of the equivalence. 1.5 % up to a_H/t = 1 and 4 % at 2: its text, plus 0.5 % for the mesh.
  it.each(cases)(
    'is that of the equivalent load: lambda $lambda, $compression atmospheres, nu $poissonRatio, a_H/t $thinness',
    (one) => {
      const { nip } = asNip(one);
      const { loadFactor } = equivalentHalfSpace(nip);
      // lambda ~ 1/w^2, pressure ~ w^(1/2), film unit ~ w.
      const equivalent =
        halfSpaceDirectly(one.lambda / loadFactor ** 2, one.compression * Math.sqrt(loadFactor)) * loadFactor;
      expect(Math.abs(equivalent / keptDirectly(one) - 1)).toBeLessThan(one.thinness <= 1 ? 0.015 : 0.045);
    },
  );

  it.each(cases.slice(8))(
    'brings the film formula to within 6 % of the direct solution: lambda $lambda, $compression atmospheres, nu $poissonRatio, a_H/t $thinness',
    (one) => {
      const { nip, speedMPerS, filmUnitM } = asNip(one);
      const direct = keptDirectly(one) * filmUnitM;
      const layered = keptByFormula(nip, equivalentHalfSpace(nip).loadNPerM, speedMPerS);
      expect(Math.abs(layered / direct - 1)).toBeLessThan(0.06);
      // With the true load the film is too thick.
      const halfSpace = keptByFormula(nip, nip.loadNPerM, speedMPerS);
      expect(halfSpace / direct).toBeGreaterThan(one.thinness < 1 ? 1.05 : 1.1);
    },
  );

  it('needs more load the thinner the cover, and the true load for a thick one', () => {
    const anyNip = fc.record({
      loadNPerM: fc.double({ min: 10, max: 8000, noNaN: true }),
      reducedRadiusM: fc.double({ min: 0.02, max: 0.5, noNaN: true }),
      coverModulusPa: fc.double({ min: 5e5, max: 5e7, noNaN: true }),
      coverPoissonRatio: fc.double({ min: 0, max: 0.5, noNaN: true }),
      coverThicknessM: fc.double({ min: 2e-3, max: 0.05, noNaN: true }),
    });
    fc.assert(
      fc.property(anyNip, (nip) => {
        const { loadFactor, loadNPerM, coverModulusPa } = equivalentHalfSpace(nip);
        expect(loadFactor).toBeGreaterThan(1);
        expect(loadNPerM).toBeCloseTo(loadFactor * nip.loadNPerM, 6);
        expect(coverModulusPa).toBe(nip.coverModulusPa);
        const thinner = equivalentHalfSpace({ ...nip, coverThicknessM: nip.coverThicknessM / 1.3 });
        expect(thinner.loadFactor).toBeGreaterThan(loadFactor);
        const thick = equivalentHalfSpace({ ...nip, coverThicknessM: 1, loadNPerM: nip.loadNPerM / 100 });
        expect(thick.loadFactor).toBeCloseTo(1, 2);
      }),
    );
  });

  it('is no load for no load', () => {
    const { nip } = asNip({ lambda: 0.01, compression: 1, poissonRatio: 0.5, thinness: 1 });
    expect(equivalentHalfSpace({ ...nip, loadNPerM: 0 })).toMatchObject({ loadNPerM: 0, loadFactor: 1 });
  });

  it('refuses a cover without thickness', () => {
    const { nip } = asNip({ lambda: 0.01, compression: 1, poissonRatio: 0.5, thinness: 1 });
    expect(() => equivalentHalfSpace({ ...nip, coverThicknessM: 0 })).toThrow(
      'coverThicknessM: 0.00001 to 1 m is needed, got 0 m',
    );
  });
});
