import type { AirMargin } from '@edge-margin/air-film';
import type { End } from '@edge-margin/plant';
import { type DisplaySystem, reason, type Reason } from '@edge-margin/units';
import type { NipInPart } from './assessment.js';
import { figure } from './words.js';

/** Where and why the nip does not hold the air back, each cause named; nothing where it works everywhere. */
export function nipInPart(
  { airFilm, ineffectiveNip }: AirMargin,
  lostAt: readonly End[],
): { nipInPart?: NipInPart } {
  const lost = lostAt.map(contactLostAt);
  if (ineffectiveNip === undefined && lost.length === 0) return {};
  return {
    nipInPart: {
      because: [...lost, ...(ineffectiveNip?.because ?? [])],
      withoutNipFilmM: airFilm.withoutNipM,
      ...(ineffectiveNip === undefined
        ? {}
        : {
            lengthShareRatio: ineffectiveNip.lengthShareRatio,
            widthShareRatio: ineffectiveNip.widthShareRatio,
            criticalSpeedMPerS: ineffectiveNip.criticalSpeedMPerS,
            marginRatio: ineffectiveNip.marginRatio,
          }),
    },
  };
}

/** Peaks tell that contact was lost, not for how much of the time. */
function contactLostAt(end: End): Reason {
  const where = end === 'both' ? '' : ` at the ${end} side`;
  return reason(
    'nip-contact-lost',
    `the nip leaves the roll${where} for a part of the time that peaks do not tell`,
    {
      end,
    },
  );
}

/** What goes in where the nip lifts off, instead of what it lets through. */
export function nipLifted({ airFilm }: AirMargin, display: DisplaySystem): Reason {
  const [without, wound] = [airFilm.withoutNipM, airFilm.woundInM].map((film) =>
    figure('film', film, display),
  );
  const text = `where the nip lifts off, a film of ${without ?? ''} goes in instead of ${wound ?? ''}`;
  return reason('nip-lifted', text, { withoutNipM: airFilm.withoutNipM, woundInM: airFilm.woundInM });
}
