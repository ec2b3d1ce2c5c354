import type { DisplaySystem } from '@edge-margin/units';
import type { AirTerms } from './air-terms.js';
import { factorInWords, inWords } from './in-words.js';
import { netTension } from './net-tension.js';
import { ventingPerTurn } from './stack-venting.js';
import { woundInFilm } from './wound-in-film.js';

/** One way in which air may be ruled out, and by what factor: 1 or more rules it out. */
export interface RuledOut {
  readonly code: 'rough' | 'porous' | 'narrow';
  readonly factor: number;
  readonly figures: Readonly<Record<string, number>>;
  /** The reason in words: of the candidates looked at every second one at most is ever told. */
  readonly text: () => string;
}

/**
 * The strongest reason why air cannot separate wraps at a speed, with its factor (below 1: it can).
 *
 * - *rough*: the film as laid down against the film below which the wraps hold each other;
 * - *porous*: what the web lets through in one turn, `2 pi P T/V`, against the film that has to go;
 * - *narrow*: the width at which one turn is enough for the edges, `sqrt(4 pi T/(mu V))/sqrt(1/hc^2 - 1/h^2)`, against the roll's.
 * @param holdingFilmM film up to which the wraps hold each other, m.
 * @param speedMPerS m/s, > 0.
 */
export function strongestRuleOut(terms: AirTerms, speedMPerS: number, holdingFilmM: number): RuledOut {
  const filmM = woundInFilm(terms, speedMPerS);
  const candidates = [
    rough(filmM, holdingFilmM, terms.display),
    porous(terms, speedMPerS, filmM),
    narrow(terms, speedMPerS, filmM),
  ] as const;
  return candidates.reduce<RuledOut>(
    (best, next) => (next.factor > best.factor ? next : best),
    candidates[0],
  );
}

function rough(filmM: number, holdingFilmM: number, display: DisplaySystem): RuledOut {
  return {
    code: 'rough',
    factor: holdingFilmM / filmM,
    figures: { filmM, holdingFilmM },
    text: () =>
      `the wraps hold each other up to a film of ${inWords('film', holdingFilmM, display)}, and the film is ${inWords('film', filmM, display)}`,
  };
}

function porous(terms: AirTerms, speedMPerS: number, filmM: number): RuledOut {
  const tensionNPerM = netTension(terms, speedMPerS);
  const factor = ventingPerTurn(terms, speedMPerS, tensionNPerM).webLossM / filmM;
  const permeanceNeededMPerPaS = (speedMPerS * filmM) / (2 * Math.PI * tensionNPerM);
  return {
    code: 'porous',
    factor,
    figures: { filmM, permeanceMPerPaS: terms.permeanceMPerPaS, permeanceNeededMPerPaS },
    text: () => `in one turn the porous web lets ${factorInWords(factor)} times the film through`,
  };
}

function narrow(terms: AirTerms, speedMPerS: number, filmM: number): RuledOut {
  const widthNeededM = filmM > terms.boundaryFilmM ? widthOfOneTurn(terms, speedMPerS, filmM) : 0;
  return {
    code: 'narrow',
    factor: widthNeededM / terms.widthM,
    figures: { filmM, widthM: terms.widthM, widthNeededM },
    text: () =>
      `a roll narrower than ${inWords('diameter', widthNeededM, terms.display)} loses its film at the edges within one turn`,
  };
}

/** Width at which the film sinks to the boundary film in one turn through the edges alone, m. */
function widthOfOneTurn(terms: AirTerms, speedMPerS: number, filmM: number): number {
  const { sideLossPerM2 } = ventingPerTurn(terms, speedMPerS, netTension(terms, speedMPerS));
  return terms.widthM * Math.sqrt(sideLossPerM2 / (terms.boundaryFilmM ** -2 - filmM ** -2));
}
