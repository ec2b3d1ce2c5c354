import { contactGrid, extentFor, type ContactGrid } from './contact-grid.js';
import { solveDense } from './dense-solve.js';
import { filmAtMidpoints } from './gas-nip-film.js';

/** Film of an incompressible fluid in a soft line contact, in units b^2/R; pressures over p0. */
export interface IncompressibleNipSolution {
  readonly minimumFilm: number;
  /** Film where the pressure gradient is zero: the flux over the speed. */
  readonly fluxFilm: number;
  readonly peakPressure: number;
  readonly iterations: number;
}

const MOST_ITERATIONS = 80;
const TOLERANCE = 1e-9;

/**
 * Incompressible counterpart, `(H^3 P')' = lambda H'` with the Reynolds exit condition: P >= 0, and P = 0 where the
 * film takes more than the flow brings. Finite volumes about the nodes; the exit is found as a complementarity
 * problem by a Newton iteration on the active set (Hintermueller, Ito & Kunisch 2002, SIAM J. Optim. 13).
 */
export const solveIncompressibleNip = (lambda: number, nodeCount: number): IncompressibleNipSolution => {
  const grid = contactGrid(extentFor(lambda, nodeCount));
  const pressure = grid.nodes.map((x) => Math.sqrt(Math.max(0, 1 - x * x)));
  const start = filmAtMidpoints(grid, pressure, 0).reduce((least, value) => Math.min(least, value));
  let approach = 0.6 * lambda ** 0.6 - start;
  for (let iterations = 1; iterations <= MOST_ITERATIONS; iterations++) {
    const film = filmAtMidpoints(grid, pressure, approach);
    const change = solveDense(...linearised(lambda, grid, pressure, film));
    const share = dampedShare(grid, film, change);
    change.forEach((value, j) => {
      if (j + 1 < pressure.length - 1) pressure[j + 1]! += share * value;
      else approach += share * value;
    });
    const largest = change.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
    if (share === 1 && largest < TOLERANCE * Math.max(1, approach)) {
      return describe(lambda, grid, pressure, approach, iterations);
    }
  }
  throw new RangeError(`no convergence at lambda ${lambda}, ${nodeCount} nodes`);
};

const linearised = (
  lambda: number,
  grid: ContactGrid,
  pressure: Float64Array,
  film: Float64Array,
): [rows: Float64Array[], right: Float64Array] => {
  const n = pressure.length;
  const slope = film.map((_, i) => (pressure[i + 1]! - pressure[i]!) / grid.widths[i]!);
  const flux = film.map((h, i) => h ** 3 * slope[i]! - lambda * h);
  const fluxByFilm = film.map((h, i) => 3 * h ** 2 * slope[i]! - lambda);
  const rows: Float64Array[] = [];
  const right = new Float64Array(n - 1);
  for (let j = 1; j < n - 1; j++) {
    const row = new Float64Array(n - 1);
    rows.push(row);
    const back = film[j - 1]! ** 3 / grid.widths[j - 1]!;
    const ahead = film[j]! ** 3 / grid.widths[j]!;
    const surplus = flux[j]! - flux[j - 1]!;
    if (pressure[j]! + surplus / (back + ahead) <= 0) {
      row[j - 1] = 1;
      right[j - 1] = -pressure[j]!;
      continue;
    }
    for (let k = 1; k < n - 1; k++) {
      row[k - 1] =
        fluxByFilm[j]! * grid.deflection[j * n + k]! - fluxByFilm[j - 1]! * grid.deflection[(j - 1) * n + k]!;
    }
    row[j - 1]! -= back + ahead;
    if (j > 1) row[j - 2]! += back;
    if (j < n - 2) row[j]! += ahead;
    row[n - 2] = fluxByFilm[j]! - fluxByFilm[j - 1]!;
    right[j - 1] = -surplus;
  }
  const loadRow = new Float64Array(n - 1);
  let load = 0;
  for (let j = 1; j < n - 1; j++) {
    loadRow[j - 1] = (grid.widths[j - 1]! + grid.widths[j]!) / 2;
    load += loadRow[j - 1]! * pressure[j]!;
  }
  rows.push(loadRow);
  right[n - 2] = Math.PI / 2 - load;
  return [rows, right];
};

const dampedShare = (grid: ContactGrid, film: Float64Array, change: Float64Array): number => {
  const n = grid.nodes.length;
  let share = 1;
  for (let i = 0; i < n - 1; i++) {
    let filmChange = change[n - 2]!;
    for (let j = 1; j < n - 1; j++) filmChange += grid.deflection[i * n + j]! * change[j - 1]!;
    if (filmChange < 0) share = Math.min(share, (-0.8 * film[i]!) / filmChange);
  }
  return share;
};

const describe = (
  lambda: number,
  grid: ContactGrid,
  pressure: Float64Array,
  approach: number,
  iterations: number,
): IncompressibleNipSolution => {
  const film = filmAtMidpoints(grid, pressure, approach);
  const middle = pressure.reduce((best, value, j) => (value > pressure[best]! ? j : best), 0);
  const slope = (pressure[middle + 1]! - pressure[middle]!) / grid.widths[middle]!;
  return {
    minimumFilm: film.reduce((least, value) => Math.min(least, value)),
    fluxFilm: film[middle]! - (film[middle]! ** 3 * slope) / lambda,
    peakPressure: pressure[middle]!,
    iterations,
  };
};
