import { power } from '../math/portable-math.js';
import { foilFilmM } from '../film/foil-film.js';
import { nipContact } from '../film/nip-contact.js';
import { nipFilmM } from '../film/nip-film.js';
import type { Air, Grade, Nip } from '../scenario/scenario-schema.js';

export interface FilmCase {
  readonly nip: Nip | null;
  readonly grade: Grade;
  readonly air: Air;
  readonly speedMPerS: number;
  readonly tensionNPerM: number;
  readonly radiusM: number;
  /** Mean nip load while touching, N/m. */
  readonly loadNPerM: number;
  /** Share of the web wound while the nip did not touch. */
  readonly liftedRatio: number;
  /** Hidden factor of the run, noise included. */
  readonly bias: number;
}

/** Air that goes into the roll, as thickness at ambient pressure (m). */
export interface WoundFilm {
  /** With nothing to exclude it. */
  readonly withoutNipM: number;
  /** What the touching nip lets in of it. */
  readonly withNipM: number;
  /** What is laid on average, lifted share included. */
  readonly laidM: number;
}

/** Theory times what is hidden: bias and exponents of the grade's own. A nip cannot let in more than reaches it. */
export function woundFilm(at: FilmCase): WoundFilm {
  const { grade, air, speedMPerS } = at;
  if (speedMPerS <= 0) return { withoutNipM: 0, withNipM: 0, laidM: 0 };
  const hidden = at.bias * power(speedMPerS / grade.film.atSpeedMPerS, grade.film.speedExponent);
  const foil = foilFilmM({
    viscosityPaS: air.viscosityPaS,
    speedMPerS,
    rollRadiusM: at.radiusM,
    tensionNPerM: at.tensionNPerM,
  });
  const withoutNipM = hidden * foil * (1 + at.tensionNPerM / at.radiusM / air.ambientPa);
  if (at.nip === null || at.loadNPerM <= 0) return { withoutNipM, withNipM: withoutNipM, laidM: withoutNipM };
  const byLoad = power(at.loadNPerM / grade.film.atLoadNPerM, grade.film.loadExponent);
  const withNipM = Math.min(withoutNipM, hidden * byLoad * theoreticalNipFilmM(at, at.nip));
  return { withoutNipM, withNipM, laidM: withNipM + at.liftedRatio * (withoutNipM - withNipM) };
}

function theoreticalNipFilmM(at: FilmCase, nip: Nip): number {
  return nipFilmM(
    nipContact({
      rollerRadiusM: nip.rollerDiameterM / 2,
      rollRadiusM: at.radiusM,
      coverModulusPa: nip.coverModulusPa,
      coverPoissonRatio: nip.coverPoissonRatio,
      rollModulusPa: nip.rollModulusPa ?? Infinity,
      loadNPerM: at.loadNPerM,
      speedMPerS: at.speedMPerS,
      ...at.air,
    }),
  );
}
