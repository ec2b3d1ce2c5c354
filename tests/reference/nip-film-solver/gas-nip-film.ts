import { contactGrid, extentFor, type ContactGrid } from './contact-grid.js';
import { solveDense } from './dense-solve.js';

/**
 * Soft elastohydrodynamic line contact with an isothermal ideal gas, by direct solution.
 *
 * In units x = b X, p = pa + p0 P, h = (b^2/R) H, with c = p0/pa and D = 1 + c P the density over ambient:
 *
 *     H = H00 + X^2/2 - (1/pi) int P ln|X - S| dS
 *     [D H^3 + 6 K H^2] P' = lambda [D H - M]
 *     int P dX = pi/2,   P = 0 at both ends
 *
 * The bracket on the left is the first-order slip flow of Burgdorfer (1959, J. Basic Eng. 81): p h^3 (1 + 6 l/h)
 * with a mean free path l = l_a pa/p. M is the constant mass flux of the film: the film kept, as a thickness at
 * ambient pressure. With c = 0 the fluid is incompressible.
 *
 * Method: pressure linear between nodes, log kernel integrated exactly, the once-integrated Reynolds equation
 * collocated at midpoints (second order), unknowns P, M and H00 together by a damped Newton iteration with the
 * full matrix. Nothing of it is shared with the correlation that it checks.
 */
export interface GasNipProblem {
  readonly lambda: number;
  /** c = p0/pa: Hertz pressure over ambient pressure. */
  readonly compression: number;
  /** K: mean free path at ambient pressure over b^2/R. */
  readonly slipRatio: number;
}

export interface GasNipSolution {
  readonly grid: ContactGrid;
  readonly pressure: Float64Array;
  readonly film: Float64Array;
  /** M: mass flux kept, as a film at ambient pressure, in units b^2/R. */
  readonly keptFilm: number;
  readonly minimumFilm: number;
  readonly centreFilm: number;
  readonly peakPressure: number;
  readonly approach: number;
  readonly iterations: number;
}

export type GasNipGuess = Pick<GasNipSolution, 'grid' | 'pressure' | 'keptFilm' | 'approach'>;

const MOST_ITERATIONS = 60;
/** Relative change of pressure (over p0) and of film (over the thinnest film) at which the iteration ends. */
const TOLERANCE = 1e-9;

/** Solves on the given grid, or on `nodeCount` nodes of a grid that suits the problem. */
export const solveGasNip = (problem: GasNipProblem, nodes: number | ContactGrid): GasNipSolution => {
  const grid = typeof nodes === 'number' ? contactGrid(extentFor(problem.lambda, nodes)) : nodes;
  return refineGasNip(problem, compressedStart(problem, grid));
};

/** Solves from the solution of a neighbouring problem or of a coarser grid. */
export const refineGasNip = (
  problem: GasNipProblem,
  guess: GasNipGuess,
  grid: ContactGrid = guess.grid,
): GasNipSolution => {
  const n = grid.nodes.length;
  const state = startFrom(guess, grid);
  for (let iterations = 1; iterations <= MOST_ITERATIONS; iterations++) {
    const film = filmAtMidpoints(grid, state.pressure, state.approach);
    const { rows, right } = linearised(problem, grid, state, film);
    const change = solveDense(rows, right);
    const share = dampedShare(problem, grid, state.pressure, film, change);
    for (let j = 1; j < n - 1; j++) state.pressure[j]! += share * change[j - 1]!;
    state.keptFilm += share * change[n - 2]!;
    state.approach += share * change[n - 1]!;
    if (share === 1 && isSmall(change, state.keptFilm)) return describeSolution(grid, state, iterations);
  }
  throw new RangeError(
    `no convergence at lambda ${problem.lambda}, p0/pa ${problem.compression}, K ${problem.slipRatio}, ${n} nodes`,
  );
};

/** The dry contact is a good start while p0 < 1.4 pa; stronger compression is reached step by step. */
const MILD_COMPRESSION = 1.4;
const COMPRESSION_STEP = 4 / 3;

const compressedStart = (problem: GasNipProblem, grid: ContactGrid): GasNipGuess => {
  let compression = Math.min(MILD_COMPRESSION, problem.compression);
  let guess = dryContact({ ...problem, compression }, grid);
  while (compression < problem.compression) {
    guess = refineGasNip({ ...problem, compression }, guess);
    compression *= COMPRESSION_STEP;
  }
  return guess;
};

interface NewtonState {
  readonly pressure: Float64Array;
  keptFilm: number;
  approach: number;
}

/** Start: Hertz pressure, the film of the 3/5-power similarity law with the compression of the middle. */
const dryContact = ({ lambda, compression }: GasNipProblem, grid: ContactGrid): GasNipGuess => {
  const pressure = grid.nodes.map((x) => Math.sqrt(Math.max(0, 1 - x * x)));
  const keptFilm = lambda ** 0.6;
  const middle = filmAtMidpoints(grid, pressure, 0)[nearestMidpoint(grid, 0)]!;
  return { grid, pressure, keptFilm, approach: (2 * keptFilm) / (1 + compression) - middle };
};

const startFrom = (guess: GasNipGuess, grid: ContactGrid): NewtonState => {
  const pressure = grid.nodes.map((x) => interpolate(guess.grid.nodes, guess.pressure, x));
  pressure[0] = 0;
  pressure[pressure.length - 1] = 0;
  return { pressure, keptFilm: guess.keptFilm, approach: guess.approach };
};

const interpolate = (xs: Float64Array, ys: Float64Array, x: number): number => {
  let low = 0;
  let high = xs.length - 1;
  if (x <= xs[low]! || x >= xs[high]!) return 0;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (xs[middle]! <= x) low = middle;
    else high = middle;
  }
  const share = (x - xs[low]!) / (xs[high]! - xs[low]!);
  return (1 - share) * ys[low]! + share * ys[high]!;
};

/** H at the midpoints for nodal pressures and an approach H00. */
export const filmAtMidpoints = (
  grid: ContactGrid,
  pressure: Float64Array,
  approach: number,
): Float64Array => {
  const n = pressure.length;
  return grid.midpoints.map((x, i) => {
    let sum = approach + (x * x) / 2;
    for (let j = 0; j < n; j++) sum += grid.deflection[i * n + j]! * pressure[j]!;
    return sum;
  });
};

/** Jacobian and negative residual: one row per interval, and the load balance as the last row. */
const linearised = (
  { lambda, compression, slipRatio }: GasNipProblem,
  grid: ContactGrid,
  { pressure, keptFilm }: NewtonState,
  film: Float64Array,
): { rows: Float64Array[]; right: Float64Array } => {
  const n = pressure.length;
  const rows: Float64Array[] = [];
  const right = new Float64Array(n);
  for (let i = 0; i < n - 1; i++) {
    const h = film[i]!;
    const density = 1 + (compression * (pressure[i]! + pressure[i + 1]!)) / 2;
    const slope = (pressure[i + 1]! - pressure[i]!) / grid.widths[i]!;
    const conductance = density * h ** 3 + 6 * slipRatio * h ** 2;
    const byFilm = (3 * density * h ** 2 + 12 * slipRatio * h) * slope - lambda * density;
    const byMeanPressure = (compression * (h ** 3 * slope - lambda * h)) / 2;
    const row = new Float64Array(n);
    for (let j = 1; j < n - 1; j++) row[j - 1] = byFilm * grid.deflection[i * n + j]!;
    if (i > 0) row[i - 1]! += byMeanPressure - conductance / grid.widths[i]!;
    if (i < n - 2) row[i]! += byMeanPressure + conductance / grid.widths[i]!;
    row[n - 2] = lambda;
    row[n - 1] = byFilm;
    rows.push(row);
    right[i] = lambda * (density * h - keptFilm) - conductance * slope;
  }
  const loadRow = new Float64Array(n);
  let load = 0;
  for (let j = 1; j < n - 1; j++) {
    loadRow[j - 1] = (grid.widths[j - 1]! + grid.widths[j]!) / 2;
    load += loadRow[j - 1]! * pressure[j]!;
  }
  rows.push(loadRow);
  right[n - 1] = Math.PI / 2 - load;
  return { rows, right };
};

/**
 * The largest share of a Newton step that leaves every film and every absolute pressure at least a fifth of what
 * it was. Without the second bound the iteration may end on a branch with negative absolute pressure at the exit.
 */
const dampedShare = (
  { compression }: GasNipProblem,
  grid: ContactGrid,
  pressure: Float64Array,
  film: Float64Array,
  change: Float64Array,
): number => {
  const n = grid.nodes.length;
  let share = 1;
  for (let j = 1; j < n - 1; j++) {
    const fall = -change[j - 1]!;
    if (fall > 0) share = Math.min(share, (0.8 * (1 / compression + pressure[j]!)) / fall);
  }
  for (let i = 0; i < n - 1; i++) {
    let filmChange = change[n - 1]!;
    for (let j = 1; j < n - 1; j++) filmChange += grid.deflection[i * n + j]! * change[j - 1]!;
    if (filmChange < 0) share = Math.min(share, (-0.8 * film[i]!) / filmChange);
  }
  return share;
};

const isSmall = (change: Float64Array, keptFilm: number): boolean => {
  const n = change.length;
  const pressureChange = change
    .subarray(0, n - 2)
    .reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  return pressureChange < TOLERANCE && Math.abs(change[n - 2]!) < TOLERANCE * 100 * keptFilm;
};

const nearestMidpoint = (grid: ContactGrid, x: number): number =>
  grid.midpoints.reduce(
    (best, value, i) => (Math.abs(value - x) < Math.abs(grid.midpoints[best]! - x) ? i : best),
    0,
  );

const describeSolution = (grid: ContactGrid, state: NewtonState, iterations: number): GasNipSolution => {
  const film = filmAtMidpoints(grid, state.pressure, state.approach);
  return {
    grid,
    pressure: state.pressure,
    film,
    keptFilm: state.keptFilm,
    minimumFilm: film.reduce((least, value) => Math.min(least, value)),
    centreFilm: film[nearestMidpoint(grid, 0)]!,
    peakPressure: state.pressure.reduce((most, value) => Math.max(most, value)),
    approach: state.approach,
    iterations,
  };
};
