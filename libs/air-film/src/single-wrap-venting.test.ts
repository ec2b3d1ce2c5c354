import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { singleWrapVentingTime } from './single-wrap-venting.js';

const viscosityPaS = 1.82e-5;

describe('the time in which one wrap sinks', () => {
  // Own derivation, checked against own integration: films um, width m, pressure Pa, time s; airtight.
  it.each([
    [5, 1, 1, 1000, 8736],
    [5, 1, 0.1, 1000, 87.36],
    [2, 0.5, 1.5, 800, 95976.6],
    [10, 3, 0.3, 2000, 41.405],
  ])(
    'from %s to %s um, %s m wide, at %s Pa is %s s by side leakage alone',
    (from, to, widthM, pressurePa, expectedS) => {
      const wrap = { fromFilmM: from * 1e-6, toFilmM: to * 1e-6, widthM, pressurePa, viscosityPaS };
      const timeS = singleWrapVentingTime({ ...wrap, permeanceMPerPaS: 0 });
      // The table is printed to 1e-5 of its figures.
      expect(Math.abs(timeS / expectedS - 1)).toBeLessThan(2e-5);
    },
  );

  // Own arithmetic, foil film with 0.643: permeance, T, R, films um; time s. Very wide, so that only the web vents.
  it.each([
    [1.13e-6, 300, 0.4, 177.96, 9, 0.19936],
    [1.35e-6, 300, 0.4, 177.96, 9, 0.16687],
    [1.35e-8, 350, 0.4, 160.58, 6, 13.086],
  ])(
    'through a web of %s m/(Pa s) is as by hand',
    (permeanceMPerPaS, tension, radius, from, to, expectedS) => {
      const timeS = singleWrapVentingTime({
        fromFilmM: from * 1e-6,
        toFilmM: to * 1e-6,
        widthM: 1e4,
        pressurePa: tension / radius,
        permeanceMPerPaS,
        viscosityPaS,
      });
      expect(Math.abs(timeS / expectedS - 1)).toBeLessThan(1e-4);
    },
  );

  it('by both ways is the integral of dh/(P p + p h^3/(mu w^2)), from all edges to all web', () => {
    const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(
        between(-7, -4),
        between(0.01, 0.99),
        between(-2, 1),
        between(-14, -5),
        (from, share, width, permeance) => {
          const wrap = {
            fromFilmM: 10 ** from,
            toFilmM: share * 10 ** from,
            widthM: 10 ** width,
            pressurePa: 900,
            permeanceMPerPaS: 10 ** permeance,
            viscosityPaS,
          };
          const numerical = simpson(Math.log(wrap.toFilmM), Math.log(wrap.fromFilmM), (logarithm) => {
            const filmM = Math.exp(logarithm);
            const side = filmM ** 3 / (viscosityPaS * wrap.widthM ** 2);
            return filmM / (wrap.pressurePa * (wrap.permeanceMPerPaS + side));
          });
          // 1e-6: the numerical integral's own error.
          expect(Math.abs(singleWrapVentingTime(wrap) / numerical - 1)).toBeLessThan(1e-6);
        },
      ),
    );
  });

  it('is nothing where the film is there already', () => {
    const wrap = {
      fromFilmM: 1e-6,
      toFilmM: 1e-6,
      widthM: 1,
      pressurePa: 900,
      permeanceMPerPaS: 0,
      viscosityPaS,
    };
    expect(singleWrapVentingTime(wrap)).toBe(0);
    expect(singleWrapVentingTime({ ...wrap, fromFilmM: 0 })).toBe(0);
  });
});

function simpson(from: number, to: number, value: (x: number) => number): number {
  const steps = 2000;
  const width = (to - from) / steps;
  let sum = value(from) + value(to);
  for (let i = 1; i < steps; i += 1) sum += (i % 2 === 1 ? 4 : 2) * value(from + i * width);
  return (sum * width) / 3;
}
