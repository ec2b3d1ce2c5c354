import { assessAir } from '@edge-margin/air-film';
import { describe, expect, it } from 'vitest';

const viscosityPaS = 1.82e-5;

interface Strip {
  readonly widthM: number;
  readonly permeanceMPerPaS: number;
  readonly pressurePa: number;
}

/**
 * Sinking speed of a flat strip, m/s, by finite differences: `d/dy(h^3/(12 mu) dp/dy) = dh/dt + P pbar`, ambient pressure at both edges, with dh/dt such that the mean
 * pressure carries the wrap. The equation is linear in its right side, so it is solved once for 1 and scaled.
 */
function sinkingSpeed(strip: Strip, filmM: number, cells: number): number {
  const spacing = strip.widthM / cells;
  const conductance = filmM ** 3 / (12 * viscosityPaS);
  // Cell-centred; half a cell to the edges. Thomas algorithm for p'' = 1/conductance.
  const upper = new Float64Array(cells);
  const pressure = new Float64Array(cells);
  const source = (spacing * spacing) / conductance;
  for (let i = 0; i < cells; i += 1) {
    const edge = i === 0 || i === cells - 1;
    const below = i === 0 ? 0 : 1;
    const pivot = (edge ? -3 : -2) - below * (i === 0 ? 0 : upper[i - 1]!);
    upper[i] = i === cells - 1 ? 0 : 1 / pivot;
    pressure[i] = (source - below * (i === 0 ? 0 : pressure[i - 1]!)) / pivot;
  }
  for (let i = cells - 2; i >= 0; i -= 1) pressure[i]! -= upper[i]! * pressure[i + 1]!;
  const meanForUnit = pressure.reduce((sum, each) => sum + each, 0) / cells;
  return strip.pressurePa / meanForUnit - strip.permeanceMPerPaS * strip.pressurePa;
}

/** Time to sink from one film to another, s: fourth-order Runge-Kutta on the logarithm of the film. */
function sinkingTime(strip: Strip, fromM: number, toM: number): number {
  const steps = 400;
  const stride = Math.log(toM / fromM) / steps;
  const slowness = (logarithm: number): number => {
    const filmM = Math.exp(logarithm);
    return filmM / sinkingSpeed(strip, filmM, 200);
  };
  let timeS = 0;
  for (let step = 0; step < steps; step += 1) {
    const at = Math.log(fromM) + step * stride;
    timeS += (stride / 6) * (slowness(at) + 4 * slowness(at + stride / 2) + slowness(at + stride));
  }
  return timeS;
}

/** Web without a nip whose film is the one laid down; the boundary film is a part of it. */
function assessed(widthM: number, permeanceMPerPaS: number, boundaryFilmM: number) {
  return assessAir({
    web: { widthM, caliperM: 5e-5, combinedRoughnessM: boundaryFilmM / 3, permeanceMPerPaS },
    nip: null,
    air: { viscosityPaS, pressurePa: 101_325, meanFreePathM: 68e-9 },
    running: { speedMPerS: 5, rollDiameterM: 0.3, tensionNPerM: 100 },
  });
}

describe('the time in which one wrap sinks', () => {
  // T/R = 666.7 Pa; from the 47 um laid down.
  it.each([
    ['airtight, at the edges alone', 0.05, 0, 5e-6],
    ['airtight, narrow', 0.01, 0, 20e-6],
    ['porous, through the web alone', 2, 1e-7, 10e-6],
    ['both ways alike', 0.05, 5e-8, 10e-6],
  ])('is that of a finite-difference solution of the film: %s', (_, widthM, permeanceMPerPaS, boundaryM) => {
    const { airFilm, ventingTimeS } = assessed(widthM, permeanceMPerPaS, boundaryM);
    const strip = { widthM, permeanceMPerPaS, pressurePa: 100 / 0.15 };
    // 0.01 %: cells of 1/200 of the width are off by 1/(2 x 200^2).
    expect(Math.abs(ventingTimeS / sinkingTime(strip, airFilm.woundInM, boundaryM) - 1)).toBeLessThan(1e-4);
  });

  it('rests on the mean pressure of a parabola, viscosity x width^2 x sinking speed over film^3', () => {
    // Own derivation: Poiseuille flow between flat plates.
    const mean = 1000 / -sinkingSpeed({ widthM: 0.1, permeanceMPerPaS: 0, pressurePa: 1000 }, 5e-6, 400);
    expect(mean / ((viscosityPaS * 0.1 ** 2) / 5e-6 ** 3)).toBeCloseTo(1, 4);
  });
});
