/**
 * Direct numerical solution of the soft gas nip, written for this project and sharing nothing with the library it checks.
 *
 * A gas film between a rigid roll and an elastic half-space, plane, isothermal, smooth, both surfaces at the same speed. With lengths in units of the
 * Hertz half width b, pressure of p0 and film of b^2/R (P gauge pressure, A = pa/p0, L = mean free path x R/b^2):
 *
 *     film     H = H0 + X^2/2 - (1/pi) int P ln|X - S| dS                        (log kernel integrated exactly on linear elements)
 *     gas      [((P + A) H^3 + 6 L A H^2) P' - lam (P + A) H]' = 0               (Reynolds, ideal gas, first-order slip)
 *     load     int P dX = pi/2,  P = 0 at both ends
 *
 * The flux over `lam A` is the kept film in units of b^2/R. Conservative differences on a grid that is finer near the ends of the contact;
 * Newton's method with the full Jacobian, followed from an easy case in steps of lam, A and L.
 */
export interface GasNip {
  /** `12 mu V R^2/(p0 b^3)`. */
  readonly viscousRatio: number;
  /** `pa/p0`. */
  readonly ambientRatio: number;
  /** `mean free path x R/b^2`. */
  readonly meanFreePathRatio: number;
}

interface State {
  readonly nip: GasNip;
  readonly pressure: Float64Array;
  readonly offset: number;
}

export interface GasNipSolution {
  /** Kept film in units of b^2/R. */
  readonly keptRatio: number;
  /** Spread of the flux over the grid, relative: how well mass is conserved. */
  readonly fluxSpreadRatio: number;
}

/** Solves nips one after the other on one grid. */
export function gasNipSolver(nodes: number): (nip: GasNip) => GasNipSolution {
  const grid = makeGrid(-8, 3, nodes);
  let easy: State | undefined;
  return (nip) => {
    easy ??= firstState(grid);
    return solution(grid, follow(grid, easy, nip));
  };
}

interface Grid {
  readonly x: Float64Array;
  readonly weight: Float64Array;
  /** Film per pressure: `-(1/pi) int ln|X - S|` on the hat functions. */
  readonly influence: readonly Float64Array[];
}

function makeGrid(from: number, to: number, nodes: number): Grid {
  const density = (x: number) =>
    Math.min(4, 1 / (0.25 + Math.max(0, Math.abs(x) - 1.15))) *
    (1 + 1.5 * Math.exp(-(((x - 1) / 0.12) ** 2)) + Math.exp(-(((x + 1) / 0.2) ** 2)));
  const fine = 20_000;
  const cumulated = new Float64Array(fine + 1);
  const at = (i: number) => from + ((to - from) * i) / fine;
  for (let i = 1; i <= fine; i += 1) cumulated[i] = cumulated[i - 1]! + density(at(i - 0.5));
  const x = new Float64Array(nodes);
  for (let i = 0, j = 0; i < nodes; i += 1) {
    const wanted = (cumulated[fine]! * i) / (nodes - 1);
    while (j < fine && cumulated[j + 1]! < wanted) j += 1;
    x[i] =
      i === nodes - 1
        ? to
        : at(j) + ((wanted - cumulated[j]!) / (cumulated[j + 1]! - cumulated[j]!)) * (at(1) - at(0));
  }
  const weight = x.map((_, i) => 0.5 * ((x[Math.min(i + 1, nodes - 1)] ?? 0) - (x[Math.max(i - 1, 0)] ?? 0)));
  return { x, weight, influence: Array.from(x, (at) => influenceRow(x, at)) };
}

function influenceRow(x: Float64Array, at: number): Float64Array {
  const zeroth = (u: number) => (u === 0 ? 0 : u * Math.log(Math.abs(u)) - u);
  const first = (u: number) => (u === 0 ? 0 : (u * u * Math.log(Math.abs(u))) / 2 - (u * u) / 4);
  const row = new Float64Array(x.length);
  for (let j = 0; j + 1 < x.length; j += 1) {
    const a = x[j]! - at;
    const b = x[j + 1]! - at;
    const whole = zeroth(b) - zeroth(a);
    const right = (first(b) - first(a) - a * whole) / (b - a);
    row[j + 1]! -= right / Math.PI;
    row[j]! -= (whole - right) / Math.PI;
  }
  return row;
}

/** An easy case: thick film, high compression, from Hertz's pressure. */
function firstState(grid: Grid): State {
  const hertz = grid.x.map((x) => Math.sqrt(Math.max(0, 1 - x * x)));
  const load = hertz.reduce((sum, p, i) => sum + p * grid.weight[i]!, 0);
  const pressure = hertz.map((p) => (p * Math.PI) / 2 / load);
  const nip = { viscousRatio: 3, ambientRatio: 0.1, meanFreePathRatio: 0 };
  const middle = grid.x.findIndex((x) => x >= 0);
  const start = { nip, pressure, offset: 1.2 - dot(grid.influence[middle]!, pressure) };
  const solved = newton(grid, start, 80);
  if (solved === undefined) throw new Error('the first nip did not converge');
  return solved;
}

function follow(grid: Grid, start: State, target: GasNip): State {
  const between = (from: number, to: number, share: number) => from * (to / from) ** share;
  let state = start;
  let done = 0;
  let step = 1;
  while (done < 1) {
    const share = Math.min(1, done + step);
    const nip = {
      viscousRatio: between(start.nip.viscousRatio, target.viscousRatio, share),
      ambientRatio: between(start.nip.ambientRatio, target.ambientRatio, share),
      meanFreePathRatio: share * target.meanFreePathRatio,
    };
    const solved = newton(grid, { ...state, nip }, 25);
    if (solved === undefined) step /= 2;
    else [state, done, step] = [solved, share, 1.6 * step];
    if (step < 1e-3) throw new Error('the nip did not converge');
  }
  return state;
}

function filmOf(grid: Grid, pressure: Float64Array, offset: number): Float64Array {
  return grid.x.map((x, i) => offset + (x * x) / 2 + dot(grid.influence[i]!, pressure));
}

/** Newton's method; undefined where it does not settle. */
function newton(grid: Grid, start: State, most: number): State | undefined {
  let { pressure, offset } = start;
  const { ambientRatio } = start.nip;
  let film = filmOf(grid, pressure, offset);
  if (Math.min(...film) <= 0) {
    offset += 1e-4 - Math.min(...film);
    film = filmOf(grid, pressure, offset);
  }
  for (let pass = 0; pass < most; pass += 1) {
    const change = solveLinear(jacobian(grid, start.nip, pressure, film));
    const leastFilm = 0.2 * Math.min(...film);
    let share = 1;
    for (let halving = 0; ; halving += 1) {
      if (halving > 25) return undefined;
      const next = pressure.map((p, i) => p + share * change[i]!);
      const nextFilm = filmOf(grid, next, offset + share * change[pressure.length]!);
      if (Math.min(...nextFilm) > leastFilm && Math.min(...next) > -0.98 * ambientRatio) {
        [pressure, film] = [next, nextFilm];
        offset += share * change[pressure.length]!;
        break;
      }
      share /= 2;
    }
    if (share === 1 && change.every((each) => Math.abs(each) < 1e-8))
      return { nip: start.nip, pressure, offset };
  }
  return undefined;
}

/** Flux between nodes i and i + 1. */
function flux(grid: Grid, nip: GasNip, pressure: Float64Array, film: Float64Array, i: number): number {
  const { viscousRatio: lam, ambientRatio: A, meanFreePathRatio: L } = nip;
  const [p, q, h, k] = [pressure[i]!, pressure[i + 1]!, film[i]!, film[i + 1]!];
  const middle = (h + k) / 2;
  const slope = (q - p) / (grid.x[i + 1]! - grid.x[i]!);
  return (
    0.5 * lam * ((p + A) * h + (q + A) * k) -
    (((p + q) / 2 + A) * middle ** 3 + 6 * L * A * middle ** 2) * slope
  );
}

/** Rows of the linear system: derivatives by pressures and offset, then minus the residual. */
function jacobian(grid: Grid, nip: GasNip, pressure: Float64Array, film: Float64Array): Float64Array[] {
  const { viscousRatio: lam, ambientRatio: A, meanFreePathRatio: L } = nip;
  const n = pressure.length;
  const fluxes = Array.from({ length: n - 1 }, (_, i) => flux(grid, nip, pressure, film, i));
  const rows = Array.from({ length: n + 1 }, () => new Float64Array(n + 2));
  const add = (row: Float64Array, i: number, sign: number) => {
    const [p, q, h, k] = [pressure[i]!, pressure[i + 1]!, film[i]!, film[i + 1]!];
    const width = grid.x[i + 1]! - grid.x[i]!;
    const middle = (h + k) / 2;
    const slope = (q - p) / width;
    const mean = (p + q) / 2 + A;
    const conductance = mean * middle ** 3 + 6 * L * A * middle ** 2;
    const byMiddle = -(3 * mean * middle ** 2 + 12 * L * A * middle) * slope;
    const byLeft = 0.5 * byMiddle + 0.5 * lam * (p + A);
    const byRight = 0.5 * byMiddle + 0.5 * lam * (q + A);
    const left = grid.influence[i]!;
    const right = grid.influence[i + 1]!;
    for (let j = 0; j < n; j += 1) row[j]! += sign * (byLeft * left[j]! + byRight * right[j]!);
    row[i]! += sign * (-0.5 * middle ** 3 * slope + conductance / width + 0.5 * lam * h);
    row[i + 1]! += sign * (-0.5 * middle ** 3 * slope - conductance / width + 0.5 * lam * k);
    row[n]! += sign * (byLeft + byRight);
    row[n + 1]! -= sign * fluxes[i]!;
  };
  for (let i = 1; i < n - 1; i += 1) {
    add(rows[i]!, i, 1);
    add(rows[i]!, i - 1, -1);
  }
  rows[0]![0] = 1;
  rows[0]![n + 1] = -pressure[0]!;
  rows[n - 1]![n - 1] = 1;
  rows[n - 1]![n + 1] = -pressure[n - 1]!;
  rows[n]!.set(grid.weight);
  rows[n]![n + 1] = Math.PI / 2 - dot(grid.weight, pressure);
  return rows;
}

/** Gauss elimination with scaled rows and partial pivoting; the right side is the last column. */
function solveLinear(rows: Float64Array[]): Float64Array {
  const n = rows.length;
  for (const row of rows) {
    const scale = row.subarray(0, n).reduce((most, each) => Math.max(most, Math.abs(each)), 0);
    for (let j = 0; j <= n; j += 1) row[j]! /= scale;
  }
  for (let k = 0; k < n; k += 1) {
    let pivot = k;
    for (let i = k + 1; i < n; i += 1) if (Math.abs(rows[i]![k]!) > Math.abs(rows[pivot]![k]!)) pivot = i;
    [rows[k], rows[pivot]] = [rows[pivot]!, rows[k]!];
    const top = rows[k]!;
    for (let i = k + 1; i < n; i += 1) {
      const row = rows[i]!;
      const factor = row[k]! / top[k]!;
      if (factor === 0) continue;
      for (let j = k; j <= n; j += 1) row[j]! -= factor * top[j]!;
    }
  }
  const solved = new Float64Array(n);
  for (let i = n - 1; i >= 0; i -= 1) {
    const row = rows[i]!;
    let sum = row[n]!;
    for (let j = i + 1; j < n; j += 1) sum -= row[j]! * solved[j]!;
    solved[i] = sum / row[i]!;
  }
  return solved;
}

function solution(grid: Grid, state: State): GasNipSolution {
  const film = filmOf(grid, state.pressure, state.offset);
  const fluxes = Array.from({ length: film.length - 1 }, (_, i) =>
    flux(grid, state.nip, state.pressure, film, i),
  );
  const mean = fluxes.reduce((sum, each) => sum + each, 0) / fluxes.length;
  const spread = (Math.max(...fluxes) - Math.min(...fluxes)) / mean;
  return { keptRatio: mean / (state.nip.viscousRatio * state.nip.ambientRatio), fluxSpreadRatio: spread };
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i += 1) sum += a[i]! * b[i]!;
  return sum;
}
