import { type Reason, reason } from '@edge-margin/units';
import type { AirPoint } from './air-point.js';
import type { AirTerms } from './air-terms.js';
import { foilFilm } from './foil-film.js';
import { factorInWords, inWords } from './in-words.js';
import { netTension, tensionIsSpent } from './net-tension.js';
import { loadSpeedRatio, type NipTerms } from './nip-film.js';
import { relaxingSettlement } from './stack-venting.js';
import { nipGoverns } from './wound-in-film.js';

/**
 * Where an operating point lies outside the range in which the formulas are good, and what that does to the film. Empty inside.
 * @param speedMPerS m/s, > 0.
 */
export function outsideValidity(terms: AirTerms, speedMPerS: number, filmM: number): readonly Reason[] {
  const found: Reason[] = [];
  if (tensionIsSpent(terms, speedMPerS)) found.push(tensionSpent(terms, speedMPerS));
  if (filmM < 3 * terms.meanFreePathM) found.push(filmNearMeanFreePath(filmM, terms));
  if (terms.nip !== null && nipGoverns(terms, speedMPerS)) {
    found.push(...outsideNipValidity(terms.nip, speedMPerS));
  } else {
    found.push(...outsideFoilValidity(terms, speedMPerS));
  }
  return found;
}

function outsideNipValidity(nip: NipTerms, speedMPerS: number): Reason[] {
  const found: Reason[] = [];
  const ratio = loadSpeedRatio(nip, speedMPerS);
  if (ratio < 3) {
    const percent = ratio < 1 ? 25 : ratio < 2 ? 12 : 5;
    const text = `the nip load is low for this roller and speed: the film is only right within ${percent} %`;
    found.push(reason('nip-load-low', text, { loadSpeedRatio: ratio, filmErrorRatio: percent / 100 }));
  }
  if (nip.pressureRatio > 30) {
    const text = `the nip presses with ${factorInWords(nip.pressureRatio)} atmospheres, more than the formulas were made for (30)`;
    found.push(reason('nip-pressure-high', text, { pressureRatio: nip.pressureRatio }));
  }
  if (nip.coverThinnessRatio > (ratio < 15 ? 0.5 : 1)) found.push(coverThin(nip, ratio));
  return found;
}

/** Error of the half-space that stands for a thin cover, from own direct solutions with the cover's exact compliance. */
function coverThin({ coverThinnessRatio }: NipTerms, ratio: number): Reason {
  const [upTo1, upTo2, above] = ratio < 15 ? ([4, 9, 16] as const) : ([1, 4, 10] as const);
  const percent = coverThinnessRatio <= 1 ? upTo1 : coverThinnessRatio <= 2 ? upTo2 : above;
  const more = coverThinnessRatio > 4 ? ' or more' : '';
  const text = `the cover is thin for its nip (half contact ${factorInWords(coverThinnessRatio)} times the thickness): the film is read up to ${percent} %${more} too thin`;
  return reason('cover-thin', text, { coverThinnessRatio, filmErrorRatio: percent / 100 });
}

function outsideFoilValidity(terms: AirTerms, speedMPerS: number): Reason[] {
  const found: Reason[] = [];
  const tensionNPerM = netTension(terms, speedMPerS);
  const foilM = foilFilm(terms, 2 * speedMPerS, tensionNPerM);
  const entrance = Math.cbrt((12 * terms.viscosityPaS * speedMPerS) / tensionNPerM);
  const entranceLengthM = foilM / entrance;
  if (terms.widthM < 5 * entranceLengthM) {
    const text = `the roll is narrow for a film of ${inWords('film', foilM, terms.display)}: air leaves at the edges already while it is drawn in, and the film is thinner than computed`;
    found.push(reason('narrow-for-foil-film', text, { widthM: terms.widthM, entranceLengthM }));
  }
  const reynolds = ((densityOf(terms) * speedMPerS * foilM) / terms.viscosityPaS) * entrance;
  if (reynolds > 1) {
    const text = `the air film is thick and fast enough for the inertia of the air to count (Reynolds number ${factorInWords(reynolds)}): the film is an estimate`;
    found.push(reason('air-inertia', text, { reynoldsRatio: reynolds }));
  }
  return found;
}

/** Density by the mean free path (Jennings 1988, solved for it), kg/m3: holds for any condition given. */
function densityOf(air: {
  readonly viscosityPaS: number;
  readonly meanFreePathM: number;
  readonly pressurePa: number;
}): number {
  if (air.meanFreePathM === 0) return 0;
  return ((Math.PI / 8) * (air.viscosityPaS / (0.4987445 * air.meanFreePathM)) ** 2) / air.pressurePa;
}

/**
 * Says so where the floating wraps would sink by more than their tension lasts: the pressure under further wraps then rises less than
 * assumed, and the number of floating wraps is a lower bound. Undefined where modulus or caliper does not tell.
 */
export function stackRelaxes(
  point: AirPoint,
  terms: AirTerms,
  filmM: number,
  floatingWraps: number,
): Reason | undefined {
  const { modulusPa, caliperM } = point.web;
  if (modulusPa === undefined || floatingWraps === 0) return undefined;
  const enoughM = relaxingSettlement({ ...terms, modulusPa, caliperM });
  const settlementM = floatingWraps * (filmM - terms.boundaryFilmM);
  if (settlementM <= enoughM) return undefined;
  const text = `the floating wraps sink by up to ${inWords('film', settlementM, terms.display)}, and ${inWords('film', enoughM, terms.display)} is enough to slacken them: more wraps float than computed`;
  return reason('stack-relaxes', text, { settlementM, enoughM });
}

function tensionSpent(terms: AirTerms, speedMPerS: number): Reason {
  const text = `at ${inWords('speed', speedMPerS, terms.display)} the web's own inertia takes all of its tension of ${inWords('tension', terms.tensionNPerM, terms.display)}`;
  return reason('tension-spent-on-inertia', text, { speedMPerS, tensionNPerM: terms.tensionNPerM });
}

function filmNearMeanFreePath(filmM: number, terms: AirTerms): Reason {
  const { meanFreePathM } = terms;
  const text = `the film of ${inWords('film', filmM, terms.display)} is hardly thicker than the way of an air molecule between two impacts: an estimate`;
  return reason('film-near-mean-free-path', text, { filmM, meanFreePathM });
}
