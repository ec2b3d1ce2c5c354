import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { foilConstant, foilFilm } from './foil-film.js';

/** Air without compressibility and slip: what the textbook formula assumes. */
const plain = { viscosityPaS: 1.82e-5, pressurePa: 1e12, meanFreePathM: 0 };

/**
 * The foil constant by own integration. It appears in the equation itself where the gas is compressible, so it is iterated there.
 * @param tau T/(R pa).
 * @param knudsen mean free path/film, both in the wrap.
 */
function integratedConstant({ tau = 0, knudsen = 0 } = {}): number {
  let constant = foilConstant;
  for (let pass = 0; pass < 40; pass += 1) {
    const next = marchUpstream(tau, knudsen, constant);
    if (tau === 0 || Math.abs(next / constant - 1) < 1e-9) return next;
    constant = next;
  }
  return constant;
}

/**
 * The curvature far upstream of the wrap, which is K. Membrane `p = T (1/R - h'')`; mass balance of an isothermal gas with first-order slip; film in
 * units of its thickness in the wrap, length in units of `h0 (12 mu V/T)^(-1/3)`, density in units of that in the wrap:
 *
 *     r (H + H^3 (1 + 6 Kn/(r H)) H''') = 1,   r = 1 - s H''/K,   s = tau/(1 + tau)
 *
 * One mode exp(-c x) decays into the wrap, so that the solution is unique up to a shift. Marched with the classical Runge-Kutta method.
 */
function marchUpstream(tau: number, knudsen: number, constant: number): number {
  const s = tau / (1 + tau);
  const third = (film: number, curvature: number) => {
    const density = 1 - (s * curvature) / constant;
    return (1 - density * film) / (density * film ** 3 + 6 * knudsen * film * film);
  };
  // Linearised about H = 1: c^3 (1 + 6 Kn) + (s/K) c^2 = 1 for the mode exp(-c xi).
  let decay = 1;
  for (let step = 0; step < 60; step += 1) {
    const value = (1 + 6 * knudsen) * decay ** 3 - (s / constant) * decay ** 2 - 1;
    decay -= value / (3 * (1 + 6 * knudsen) * decay ** 2 - 2 * (s / constant) * decay);
  }
  const start = 1e-6;
  let state: [number, number, number] = [1 + start, -decay * start, decay * decay * start];
  const slope = ([film, first, second]: [number, number, number]): [number, number, number] => [
    -first,
    -second,
    -third(film, second),
  ];
  let distance = 0;
  while (distance < 40_000) {
    // Fine where the curvature builds up (the first 60 lengths), coarse where it has settled.
    const step = distance < 60 ? 0.01 : 0.002 * distance;
    const move = (by: [number, number, number], share: number): [number, number, number] => [
      state[0] + share * step * by[0],
      state[1] + share * step * by[1],
      state[2] + share * step * by[2],
    ];
    const k1 = slope(state);
    const k2 = slope(move(k1, 0.5));
    const k3 = slope(move(k2, 0.5));
    const k4 = slope(move(k3, 1));
    const mean = (i: 0 | 1 | 2) => (k1[i] + 2 * k2[i] + 2 * k3[i] + k4[i]) / 6;
    state = move([mean(0), mean(1), mean(2)], 1);
    distance += step;
  }
  return state[2];
}

describe('the foil constant', () => {
  it('comes out of own integration of the foil equation', () => {
    // Own numerical solution; literature (Blok & van Rossum 1953, Eshel & Elrod 1965, from memory) 0.643.
    expect(integratedConstant()).toBeCloseTo(foilConstant, 5);
  });

  it('is that of a long bubble in a tube', () => {
    // Bretherton 1961, J. Fluid Mech. 10, 166, abstract: same equation, W = 1.29 (3 mu U/sigma)^(2/3) = 2 h/r, printed to three figures.
    expect(Math.abs((2 * foilConstant) / 1.29 - 1)).toBeLessThan(0.005);
  });
});

describe('the film without a nip', () => {
  // Own arithmetic with K = 0.64304, mu = 1.82e-5 Pa s, no corrections. Both speeds count.
  it.each([
    [0.05, 1, 1, 100, 5.4122],
    [0.05, 5, 5, 100, 15.8255],
    [0.1, 5, 5, 100, 31.6509],
    [0.15, 5, 5, 200, 29.9083],
    [0.15, 10, 10, 50, 119.633],
    [0.3, 10, 10, 200, 94.9528],
    [0.4, 25, 25, 350, 160.588],
    [0.75, 40, 40, 500, 324.734],
    [0.1, 5, 0, 100, 19.9388],
  ])('at R %s m, V %s and %s m/s, T %s N/m is %s um', (radiusM, first, second, tension, expectedUm) => {
    const filmM = foilFilm({ ...plain, radiusM }, first + second, tension);
    // 0.1 % asked for; the table is rounded to 1e-5.
    expect(Math.abs((filmM * 1e6) / expectedUm - 1)).toBeLessThan(5e-5);
  });

  // Own numerical solutions of the compressible foil equation, tau = T/(R pa).
  it.each([
    [0.001, 0.64275],
    [0.01, 0.64013],
    [0.02, 0.63726],
    [0.05, 0.6289],
    [0.1, 0.61568],
    [0.2, 0.59169],
    [0.5, 0.5344],
    [1, 0.46914],
  ])('has the constant of a gas at tau %s', (tau, expected) => {
    const air = { ...plain, pressurePa: 1e5 };
    const radiusM = 0.1;
    const tension = tau * radiusM * air.pressurePa;
    const entrance = ((12 * air.viscosityPaS * 5) / tension) ** (2 / 3);
    const constant = foilFilm({ ...air, radiusM }, 10, tension) / (radiusM * entrance);
    expect(Math.abs(constant / expected - 1)).toBeLessThan(0.0005);
    expect(Math.abs(integratedConstant({ tau }) / expected - 1)).toBeLessThan(0.001);
  });

  // Own numerical solutions with first-order slip, Kn = mean free path/film (the film with slip).
  it.each([
    [0.001, 0.64176],
    [0.005, 0.63671],
    [0.01, 0.63058],
    [0.02, 0.61886],
    [0.05, 0.58743],
    [0.1, 0.54454],
    [0.2, 0.48132],
    [0.5, 0.37327],
  ])('has the constant with slip at a Knudsen number of %s', (knudsen, expected) => {
    const radiusM = 0.1;
    const withoutSlipM = foilFilm({ ...plain, radiusM }, 1, 100);
    const filmM = (withoutSlipM * expected) / foilConstant;
    const computedM = foilFilm({ ...plain, radiusM, meanFreePathM: knudsen * filmM }, 1, 100);
    expect(Math.abs(computedM / filmM - 1)).toBeLessThan(0.004);
    expect(Math.abs(integratedConstant({ knudsen }) / expected - 1)).toBeLessThan(0.0005);
  });

  it('grows like R V^(2/3) T^(-2/3) mu^(2/3)', () => {
    const positive = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(
        positive(0.03, 1),
        positive(0.1, 50),
        positive(20, 2000),
        positive(1.1, 4),
        (radiusM, speed, tension, k) => {
          const film = (r: number, v: number, t: number) => foilFilm({ ...plain, radiusM: r }, v, t);
          const base = film(radiusM, speed, tension);
          expect(film(k * radiusM, speed, tension) / base).toBeCloseTo(k, 6);
          expect(film(radiusM, k * speed, tension) / base).toBeCloseTo(k ** (2 / 3), 6);
          expect(film(radiusM, speed, k * tension) / base).toBeCloseTo(k ** (-2 / 3), 6);
        },
      ),
    );
  });

  it('is nothing at standstill', () => {
    expect(
      foilFilm({ viscosityPaS: 1.82e-5, pressurePa: 101_325, meanFreePathM: 68e-9, radiusM: 0.1 }, 0, 100),
    ).toBe(0);
  });
});
