import { contactGrid, extentFor } from './contact-grid.js';
import { refineGasNip, solveGasNip, type GasNipSolution } from './gas-nip-film.js';
import { nipScales, type NipPoint } from './nip-scales.js';

/** The reference solution of one operating point in SI units, extrapolated to a vanishing grid spacing. */
export interface KeptFilm {
  /** Mass flux of air kept, as a film at ambient pressure. */
  readonly keptM: number;
  readonly keptWithoutSlipM: number;
  readonly minimumFilmM: number;
  readonly centreFilmM: number;
  readonly peakPressurePa: number;
  /** Change of `keptM` from the coarse to the fine grid, as a share: three times the error of the fine grid. */
  readonly gridChangeRatio: number;
}

export const COARSE_NODES = 151;
export const FINE_NODES = 301;

/**
 * Solves with and without slip on 151 and 301 nodes and extrapolates by Richardson's rule for a method of second
 * order, fine + (fine - coarse)/3.
 */
export const keptFilm = (point: NipPoint, coarseNodes = COARSE_NODES, fineNodes = FINE_NODES): KeptFilm => {
  const { lambda, compression, slipRatio, filmUnitM, hertzPressurePa } = nipScales(point);
  const smooth = { lambda, compression, slipRatio: 0 };
  const slipping = { lambda, compression, slipRatio };
  const coarse = solveGasNip(smooth, coarseNodes);
  const fine = refineGasNip(smooth, coarse, contactGrid(extentFor(lambda, fineNodes)));
  const coarseSlipping = refineGasNip(slipping, coarse);
  const fineSlipping = refineGasNip(slipping, fine);
  const extrapolated = (from: GasNipSolution, to: GasNipSolution): number =>
    (to.keptFilm + (to.keptFilm - from.keptFilm) / 3) * filmUnitM;
  return {
    keptM: extrapolated(coarseSlipping, fineSlipping),
    keptWithoutSlipM: extrapolated(coarse, fine),
    minimumFilmM: fineSlipping.minimumFilm * filmUnitM,
    centreFilmM: fineSlipping.centreFilm * filmUnitM,
    peakPressurePa: fineSlipping.peakPressure * hertzPressurePa,
    gridChangeRatio: fineSlipping.keptFilm / coarseSlipping.keptFilm - 1,
  };
};
