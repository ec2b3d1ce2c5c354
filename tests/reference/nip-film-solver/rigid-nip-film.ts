/** Load numbers w h0 / (mu u R) of a rigid nip h = h0 + x^2/(2R) with an incompressible fluid. */
export interface RigidNipLoads {
  /** Reynolds exit condition: P = P' = 0 (Martin 1916). */
  readonly reynoldsExit: number;
  /** Positive half of the full, antisymmetric pressure (Kapitza 1955). */
  readonly halfSommerfeld: number;
}

/**
 * Quadrature of p' = 12 mu u (h - h*)/h^3. With x = sqrt(2 R h0) tan t all integrands are bounded, so the trapezoidal
 * rule on `stepCount` steps of t converges quickly; the flux film h* is found so that each exit condition holds.
 */
export const rigidNipLoads = (stepCount: number): RigidNipLoads => {
  const exit = bisectExit(stepCount);
  return {
    reynoldsExit: load(stepCount, exit, 1 / Math.cos(exit) ** 2),
    halfSommerfeld: load(stepCount, 0, 4 / 3),
  };
};

/** p in units 12 mu u sqrt(2 R h0)/h0^2 at angle t: int (1 - H* cos^2) cos^2 dt from -pi/2. */
const pressures = (stepCount: number, exit: number, fluxFilm: number): Float64Array => {
  const step = (exit + Math.PI / 2) / stepCount;
  const slope = (t: number): number => (1 - fluxFilm * Math.cos(t) ** 2) * Math.cos(t) ** 2;
  const values = new Float64Array(stepCount + 1);
  for (let i = 1; i <= stepCount; i++) {
    const t = -Math.PI / 2 + i * step;
    values[i] = values[i - 1]! + (step * (slope(t - step) + 4 * slope(t - step / 2) + slope(t))) / 6;
  }
  return values;
};

/** w h0/(mu u R) = 12 * 2 * int p sec^2 dt, integrated by parts: 24 ([p tan t] - int p' tan t dt). */
const load = (stepCount: number, exit: number, fluxFilm: number): number => {
  const step = (exit + Math.PI / 2) / stepCount;
  const moment = (t: number): number => (1 - fluxFilm * Math.cos(t) ** 2) * Math.cos(t) * Math.sin(t);
  let sum = 0;
  for (let i = 0; i < stepCount; i++) {
    const t = -Math.PI / 2 + i * step;
    sum += (step * (moment(t) + 4 * moment(t + step / 2) + moment(t + step))) / 6;
  }
  const last = pressures(stepCount, exit, fluxFilm)[stepCount]!;
  return 24 * (last * Math.tan(exit) - sum);
};

const bisectExit = (stepCount: number): number => {
  let [low, high] = [0, Math.PI / 3];
  for (let turn = 0; turn < 50; turn++) {
    const exit = (low + high) / 2;
    const pressure = pressures(stepCount, exit, 1 / Math.cos(exit) ** 2)[stepCount]!;
    if (pressure < 0) high = exit;
    else low = exit;
  }
  return (low + high) / 2;
};
