import { type Reason, reason } from '@edge-margin/units';
import type { AirTerms } from './air-terms.js';
import { factorInWords, inWords } from './in-words.js';
import { inPercent } from './nip-load/wound-without-nip.js';
import { type RuledOut, strongestRuleOut } from './ruled-out.js';
import { nipGoverns, withoutNipRatio, woundInFilm } from './wound-in-film.js';

export interface Applicability {
  /** False where air cannot separate the wraps. */
  readonly applies: boolean;
  /** Why not, and by what factor; what decides the film otherwise. */
  readonly because: Reason;
}

/**
 * Whether entrained air can be a problem at an operating point, judged with the film that is really there: the nip's under an effective nip.
 *
 * It cannot where one of three things holds now (own derivation, {@link strongestRuleOut}): the wraps are in full contact on a film of at most
 * `boundaryFactor x combined roughness`, or the web or the edges let the film go within one turn. And it cannot where there is no critical
 * speed as far as one was looked for.
 * @param criticalSpeedMPerS undefined where there is none.
 */
export function airApplicability(
  terms: AirTerms,
  speedMPerS: number,
  criticalSpeedMPerS: number | undefined,
  speedLimitMPerS: number,
): Applicability {
  if (speedMPerS <= 0) return no(reason('slow', 'no air is carried in at standstill', { speedMPerS }));
  const now = strongestRuleOut(terms, speedMPerS, terms.boundaryFilmM / 3);
  if (criticalSpeedMPerS === undefined) return no(neverReason(terms, now, speedLimitMPerS));
  if (now.factor >= 1) return no(notNowReason(terms, now, speedMPerS, criticalSpeedMPerS));
  return { applies: true, because: filmReason(terms, speedMPerS) };
}

function no(because: Reason): Applicability {
  return { applies: false, because };
}

function neverReason(terms: AirTerms, now: RuledOut, speedLimitMPerS: number): Reason {
  const atLimit = strongestRuleOut(terms, speedLimitMPerS, terms.boundaryFilmM);
  const ruledOut = now.factor >= 1 ? now : atLimit;
  const params = { ...ruledOut.figures, factor: ruledOut.factor, speedLimitMPerS };
  const opening = `no air problem at any speed up to ${inWords('speed', speedLimitMPerS, terms.display)}`;
  if (ruledOut.factor >= 1) return reason(ruledOut.code, `${opening}: ${ruledOut.text()}`, params);
  return reason('vented', `${opening}: the air leaves through the web and at the edges in time`, params);
}

function notNowReason(
  terms: AirTerms,
  ruledOut: RuledOut,
  speedMPerS: number,
  criticalSpeedMPerS: number,
): Reason {
  const code = ruledOut.code === 'rough' ? 'slow' : ruledOut.code;
  const text = `no air problem at ${inWords('speed', speedMPerS, terms.display)}: ${ruledOut.text()}`;
  return reason(code, text, { ...ruledOut.figures, factor: ruledOut.factor, speedMPerS, criticalSpeedMPerS });
}

function filmReason(terms: AirTerms, speedMPerS: number): Reason {
  const filmM = woundInFilm(terms, speedMPerS);
  const boundaryRatio = filmM / terms.boundaryFilmM;
  const params = { filmM, boundaryFilmM: terms.boundaryFilmM, boundaryRatio };
  const besideRatio = withoutNipRatio(terms, speedMPerS);
  const share = `${inWords('film', filmM, terms.display)}, ${factorInWords(boundaryRatio)} times the boundary film`;
  if (terms.nip !== null && besideRatio > 0) {
    const text = `past the nip goes ${inPercent(besideRatio)} of the web: over the width a film of ${share}`;
    return reason('nip-in-part', text, { ...params, withoutNipRatio: besideRatio });
  }
  if (nipGoverns(terms, speedMPerS)) {
    return reason('nip-film', `the nip lets in a film of ${share}; tension does not thin it`, params);
  }
  const opening = terms.nip === null ? 'no nip' : 'the nip holds nothing back';
  const code = terms.nip === null ? 'foil-film' : 'nip-idle';
  return reason(code, `${opening}: tension alone leaves a film of ${share}`, params);
}
