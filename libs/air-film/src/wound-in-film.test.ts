import { describe, expect, it } from 'vitest';
import { foilFilm } from './foil-film.js';
import { nipTerms } from './nip-film.js';
import { nipGoverns, woundInFilm } from './wound-in-film.js';

const air = { viscosityPaS: 1.82e-5, pressurePa: 101_325, meanFreePathM: 68e-9 };
const web = {
  radiusM: 0.15,
  tensionNPerM: 100,
  grammageKgPerM2: 0,
  unpressedWidthRatio: 0,
  wrapBeforeNipRad: 0,
};

const withLoad = (loadNPerM: number) => ({
  ...air,
  ...web,
  nip: nipTerms(
    { rollerDiameterM: 0.12, rollDiameterM: 0.3, coverModulusPa: 3e6, coverPoissonRatio: 0.5, loadNPerM },
    air,
  ),
});

describe('the film that is wound in', () => {
  it('is the foil film without a nip', () => {
    expect(woundInFilm({ ...air, ...web, nip: null }, 5)).toBe(foilFilm({ ...air, radiusM: 0.15 }, 10, 100));
  });

  it('is what the nip lets through, at the pressure under the wrap, where the nip works', () => {
    const film = withLoad(300);
    expect(nipGoverns(film, 5)).toBe(true);
    expect(woundInFilm(film, 5)).toBeLessThan(2e-6);
  });

  it('goes over into the foil film without a step when the nip is relieved to nothing', () => {
    const foilM = woundInFilm({ ...air, ...web, nip: null }, 5);
    let before = woundInFilm(withLoad(300), 5);
    for (let load = 300; load > 1e-3; load /= 1.05) {
      const filmM = woundInFilm(withLoad(load), 5);
      expect(filmM).toBeGreaterThanOrEqual(before);
      expect(filmM / before).toBeLessThan(1.06);
      before = filmM;
    }
    expect(before).toBe(foilM);
    expect(nipGoverns(withLoad(1e-3), 5)).toBe(false);
  });

  it('of a web whose inertia takes all tension stays finite', () => {
    const flying = { ...air, ...web, tensionNPerM: 30, grammageKgPerM2: 0.016, nip: null };
    expect(Number.isFinite(woundInFilm(flying, 100))).toBe(true);
  });

  it('hands over from nip to foil film with no kink: its exponents change by little from load to load', () => {
    const exponent = (load: number) =>
      Math.log(woundInFilm(withLoad(load * 1.0005), 5) / woundInFilm(withLoad(load / 1.0005), 5)) /
      (2 * Math.log(1.0005));
    let before = exponent(300);
    for (let load = 300; load > 1e-2; load /= 1.02) {
      const now = exponent(load);
      // From -0.2 over about -1 (a rigid nip) to 0, in five hundred steps; a sharp change-over would make one of 1.
      expect(Math.abs(now - before)).toBeLessThan(0.05);
      before = now;
    }
    expect(before).toBeCloseTo(0, 3);
  });

  it('is the same where the nip alone is reckoned as where both are', () => {
    for (const load of [300, 30, 3, 0.3]) {
      for (const speed of [0.01, 0.1, 1, 10, 40]) {
        const film = withLoad(load);
        // A share of nothing takes the long way.
        const theLongWay = woundInFilm({ ...film, wrapBeforeNipRad: Number.MIN_VALUE }, speed);
        expect(woundInFilm(film, speed) / theLongWay).toBeCloseTo(1, 12);
      }
    }
  });
});
