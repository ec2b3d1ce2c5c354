import { contactGrid, extentFor, type GridExtent } from './contact-grid.js';
import { refineGasNip, solveGasNip, type GasNipGuess, type GasNipSolution } from './gas-nip-film.js';

/** Film of an incompressible fluid in a soft line contact, in units b^2/R; pressure over p0, exit over b. */
export interface IncompressibleNipSolution {
  readonly minimumFilm: number;
  /** Film where the pressure gradient is zero: the flux over the speed. */
  readonly fluxFilm: number;
  readonly peakPressure: number;
  readonly exit: number;
}

const MOST_TRIALS = 60;
const EXIT_TOLERANCE = 1e-7;

/**
 * The fluid that cannot be compressed and cannot be drawn out: same equations with p0/pa = 0, and the film breaks
 * where P = P' = 0 (Reynolds exit condition). The last node is laid on the exit, whose place is found by regula
 * falsi (Illinois form) on the slope of the pressure there: too late an exit makes it rise, too early one fall.
 */
export const solveIncompressibleNip = (
  lambda: number,
  nodeCount: number,
  extent: GridExtent = extentFor(lambda, nodeCount),
): IncompressibleNipSolution => {
  let guess: GasNipGuess | undefined;
  const solveTo = (exit: number): GasNipSolution => {
    const grid = contactGrid({ ...extent, outletX: exit });
    const problem = { lambda, compression: 0, slipRatio: 0 };
    const solution = guess === undefined ? solveGasNip(problem, grid) : refineGasNip(problem, guess, grid);
    guess = solution;
    return solution;
  };
  const early = { exit: 1, slope: exitSlope(solveTo(1)) };
  let late = { exit: 1, slope: early.slope };
  for (let reach = 0.5 * extent.edgeLength; late.slope <= 0; reach *= 1.5) {
    late = { exit: 1 + reach, slope: exitSlope(solveTo(1 + reach)) };
  }
  return describe(bracketedExit(early, late, solveTo), solveTo);
};

interface ExitTrial {
  readonly exit: number;
  readonly slope: number;
}

const bracketedExit = (
  early: ExitTrial,
  late: ExitTrial,
  solveTo: (exit: number) => GasNipSolution,
): number => {
  let [low, high] = [early, late];
  for (let trial = 0; trial < MOST_TRIALS; trial++) {
    const exit = high.exit - (high.slope * (high.exit - low.exit)) / (high.slope - low.slope);
    const next = { exit, slope: exitSlope(solveTo(exit)) };
    if (Math.min(high.exit - exit, exit - low.exit) < EXIT_TOLERANCE) return exit;
    if (next.slope > 0) [low, high] = [{ ...low, slope: low.slope / 2 }, next];
    else [low, high] = [next, { ...high, slope: high.slope / 2 }];
  }
  throw new RangeError(`the exit was not found between ${low.exit} and ${high.exit}`);
};

/** P' at the last node, from the two last intervals. */
const exitSlope = ({ grid, pressure }: GasNipSolution): number => {
  const last = grid.widths.length - 1;
  const slope = (i: number): number => (pressure[i + 1]! - pressure[i]!) / grid.widths[i]!;
  const change = (slope(last) - slope(last - 1)) / (grid.midpoints[last]! - grid.midpoints[last - 1]!);
  return slope(last) + (change * grid.widths[last]!) / 2;
};

const describe = (exit: number, solveTo: (exit: number) => GasNipSolution): IncompressibleNipSolution => {
  const { keptFilm, minimumFilm, peakPressure } = solveTo(exit);
  return { fluxFilm: keptFilm, minimumFilm, peakPressure, exit };
};
