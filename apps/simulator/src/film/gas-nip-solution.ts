import { PI, power } from '../math/portable-math.js';
import { gradedMesh } from './graded-mesh.js';
import { solveLinear } from './solve-linear.js';
import { surfaceDeflection } from './surface-deflection.js';

/** One air-lubricated nip, dimensionless (see `nip-contact.ts`). */
export interface GasNipProblem {
  readonly speedNumber: number;
  readonly pressureNumber: number;
  readonly slipNumber: number;
}

export interface GasNipSolution {
  readonly x: Float64Array;
  readonly pressure: Float64Array;
  readonly film: Float64Array;
  /** Film that leaves with the roll, as thickness at ambient pressure over `speedNumber^0.6 b^2/R`. */
  readonly keptNumber: number;
  readonly iterations: number;
}

/** Starting point of the iteration: points, pressures, kept film and the approach of the two bodies. */
export interface GasNipGuess {
  readonly x: Float64Array;
  readonly pressure: Float64Array;
  readonly keptNumber: number;
}

/**
 * Film of an isothermal gas between a rigid cylinder and an elastic half space (soft elastohydrodynamics).
 *
 * Equations, with A = ambient over dry peak pressure and m = mean free path, lengths scaled as in `nip-contact.ts`:
 * `lam (P+A) H - [(P+A) H^3 + 6 m A H^2] P' = lam A Hkept` (mass; first-order slip, Burgdorfer 1959),
 * `H = H00 + X^2/2 - (1/pi) int P ln|X-S| dS` (half space), `int P dX = pi/2` (load), P = 0 at both far ends.
 * Box scheme on a graded mesh, all unknowns together by Newton's method with step halving.
 * @throws RangeError if the iteration does not converge from the guess
 */
export function solveGasNip(
  problem: GasNipProblem,
  guess: GasNipGuess = hertzGuess(),
  intervals = 240,
): GasNipSolution {
  const x = gradedMesh(problem.speedNumber, intervals);
  const system = nipSystem(problem, x, surfaceDeflection(x));
  let unknowns = system.start(guess);
  let residual = system.residual(unknowns);
  for (let iterations = 1; iterations <= 60; iterations += 1) {
    const change = solveLinear(system.jacobian(unknowns), residual.slice());
    const next = halvedStep(system, unknowns, change, residual);
    if (next === null) break;
    unknowns = next.unknowns;
    residual = next.residual;
    if (next.share === 1 && largest(residual) < 1e-9) return { ...system.solution(unknowns), iterations };
  }
  throw new RangeError(`speedNumber: no solution found from this guess at ${JSON.stringify(problem)}`);
}

interface NipSystem {
  readonly start: (guess: GasNipGuess) => Float64Array;
  readonly residual: (unknowns: Float64Array) => Float64Array;
  readonly jacobian: (unknowns: Float64Array) => Float64Array;
  readonly isPossible: (unknowns: Float64Array) => boolean;
  readonly solution: (unknowns: Float64Array) => Omit<GasNipSolution, 'iterations'>;
}

/** Unknowns: pressure at the inner points, then H00, then the kept film. One mass equation an interval, then the load. */
function nipSystem(problem: GasNipProblem, x: Float64Array, deflection: Float64Array): NipSystem {
  const n = x.length;
  const size = n;
  const scale = power(problem.speedNumber, 0.6);
  const ambient = 1 / problem.pressureNumber;
  const lam = problem.speedNumber;
  const slip = 6 * problem.slipNumber * scale * ambient;
  const at = (list: Float64Array, i: number): number => list[i] as number;

  const pressures = (unknowns: Float64Array): Float64Array => {
    const pressure = new Float64Array(n);
    for (let i = 1; i < n - 1; i += 1) pressure[i] = at(unknowns, i - 1);
    return pressure;
  };
  const films = (unknowns: Float64Array, pressure: Float64Array): Float64Array => {
    const film = new Float64Array(n);
    for (let i = 0; i < n; i += 1) {
      let sum = at(unknowns, size - 2) + (at(x, i) * at(x, i)) / 2;
      for (let k = 0; k < n; k += 1) sum += (deflection[i * n + k] as number) * at(pressure, k);
      film[i] = sum;
    }
    return film;
  };
  const mobility = (p: number, h: number): number => (p + ambient) * h * h * h + slip * h * h;

  const residual = (unknowns: Float64Array): Float64Array => {
    const p = pressures(unknowns);
    const h = films(unknowns, p);
    const result = new Float64Array(size);
    let load = 0;
    for (let i = 0; i + 1 < n; i += 1) {
      const dx = at(x, i + 1) - at(x, i);
      load += (dx * (at(p, i) + at(p, i + 1))) / 2;
      const carried = ((at(p, i) + ambient) * at(h, i) + (at(p, i + 1) + ambient) * at(h, i + 1)) / 2;
      const driven =
        ((mobility(at(p, i), at(h, i)) + mobility(at(p, i + 1), at(h, i + 1))) / 2 / dx) *
        (at(p, i + 1) - at(p, i));
      result[i] = (carried - driven / lam) / (ambient * scale) - at(unknowns, size - 1);
    }
    result[size - 1] = load - PI / 2;
    return result;
  };

  const jacobian = (unknowns: Float64Array): Float64Array => {
    const p = pressures(unknowns);
    const h = films(unknowns, p);
    const matrix = new Float64Array(size * size);
    for (let i = 0; i + 1 < n; i += 1) {
      const dx = at(x, i + 1) - at(x, i);
      const step = at(p, i + 1) - at(p, i);
      const mean = (mobility(at(p, i), at(h, i)) + mobility(at(p, i + 1), at(h, i + 1))) / 2;
      const unit = 1 / (ambient * scale);
      const byFilm = (j: number): number => {
        const hj = at(h, j);
        const slope = 3 * (at(p, j) + ambient) * hj * hj + 2 * slip * hj;
        return unit * ((at(p, j) + ambient) / 2 - ((slope / 2 / dx) * step) / lam);
      };
      const byPressure = (j: number, sign: number): number => {
        const hj = at(h, j);
        return unit * (hj / 2 - (((hj * hj * hj) / 2 / dx) * step + (sign * mean) / dx) / lam);
      };
      const left = byFilm(i);
      const right = byFilm(i + 1);
      const row = i * size;
      for (let k = 1; k < n - 1; k += 1) {
        matrix[row + k - 1] =
          left * (deflection[i * n + k] as number) + right * (deflection[(i + 1) * n + k] as number);
      }
      if (i > 0) matrix[row + i - 1] = (matrix[row + i - 1] as number) + byPressure(i, -1);
      if (i + 1 < n - 1) matrix[row + i] = (matrix[row + i] as number) + byPressure(i + 1, 1);
      matrix[row + size - 2] = left + right;
      matrix[row + size - 1] = -1;
    }
    const last = (size - 1) * size;
    for (let k = 1; k < n - 1; k += 1) matrix[last + k - 1] = (at(x, k + 1) - at(x, k - 1)) / 2;
    return matrix;
  };

  return {
    residual,
    jacobian,
    isPossible: (unknowns) => {
      const p = pressures(unknowns);
      const h = films(unknowns, p);
      return p.every((value) => value + ambient > 0) && h.every((value) => value > 0);
    },
    start: (guess) => {
      const unknowns = new Float64Array(size);
      for (let i = 1; i < n - 1; i += 1) unknowns[i - 1] = valueAt(guess.x, guess.pressure, at(x, i));
      unknowns[size - 1] = guess.keptNumber;
      const film = films(unknowns, pressures(unknowns));
      const middle = x.findIndex((value) => value >= 0);
      const inContact = (guess.keptNumber * scale * ambient) / (1 + ambient);
      unknowns[size - 2] = Math.max(inContact, 0.3 * scale) - at(film, middle);
      const lowest = Math.min(...films(unknowns, pressures(unknowns)));
      if (lowest < (0.1 * scale * ambient) / (1 + ambient)) {
        unknowns[size - 2] = at(unknowns, size - 2) + 0.2 * scale - lowest;
      }
      return unknowns;
    },
    solution: (unknowns) => {
      const pressure = pressures(unknowns);
      return { x, pressure, film: films(unknowns, pressure), keptNumber: at(unknowns, size - 1) };
    },
  };
}

function halvedStep(system: NipSystem, unknowns: Float64Array, change: Float64Array, residual: Float64Array) {
  const before = size2(residual);
  for (let share = 1; share > 1e-4; share /= 2) {
    const tried = unknowns.map((value, i) => value - share * (change[i] as number));
    if (!system.isPossible(tried)) continue;
    const left = system.residual(tried);
    if (size2(left) < before || largest(left) < 1e-9) return { unknowns: tried, residual: left, share };
  }
  return null;
}

function largest(list: Float64Array): number {
  return list.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
}

function size2(list: Float64Array): number {
  return list.reduce((sum, value) => sum + value * value, 0);
}

function valueAt(x: Float64Array, y: Float64Array, at: number): number {
  const right = x.findIndex((value) => value >= at);
  if (right <= 0) return 0;
  const [x0, x1] = [x[right - 1] as number, x[right] as number];
  const share = (at - x0) / (x1 - x0);
  return (y[right - 1] as number) * (1 - share) + (y[right] as number) * share;
}

/** The dry contact's pressure, and a kept film of the usual size. */
function hertzGuess(): GasNipGuess {
  const x = Float64Array.from({ length: 201 }, (_, i) => -1 + i / 100);
  return { x, pressure: x.map((value) => Math.sqrt(Math.max(0, 1 - value * value))), keptNumber: 0.7 };
}
