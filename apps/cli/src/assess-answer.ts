import type { AirAssessment } from '@edge-margin/air-film';
import type { Quantity, Reason } from '@edge-margin/units';

const maybeUnknown = ['filmCriticalSpeedMPerS', 'criticalSpeedMPerS', 'marginRatio'] as const;
type MaybeUnknown = (typeof maybeUnknown)[number];

/** What of an assessment may be unknown, as plain numbers where it is known. */
type Figures = { readonly [Name in MaybeUnknown]?: number };

/** An assessment as plain JSON: known quantities are numbers, others are left out and explained under `notKnown`. */
export interface AssessAnswer extends Omit<AirAssessment, MaybeUnknown | 'uncertainty'>, Figures {
  readonly line?: number;
  /** Standard uncertainties, in the unit of the key. */
  readonly uncertainty: Figures & {
    readonly woundInM: number;
    readonly filmRatio: number;
    readonly calibrated: boolean;
    readonly contributions: AirAssessment['uncertainty']['contributions'];
  };
  readonly notKnown?: { readonly [Name in MaybeUnknown]?: Reason };
}

/** The answer of the command line to one operating point. */
export function assessAnswer(assessment: AirAssessment, line: number | undefined): AssessAnswer {
  const { filmCriticalSpeedMPerS, criticalSpeedMPerS, marginRatio, uncertainty, ...plain } = assessment;
  const quantities = { filmCriticalSpeedMPerS, criticalSpeedMPerS, marginRatio };
  const notKnown = pick(quantities, (quantity) =>
    quantity.kind === 'unknown' ? quantity.because : undefined,
  );
  return {
    ...(line === undefined ? {} : { line }),
    ...pick(quantities, (quantity) => (quantity.kind === 'known' ? quantity.value : undefined)),
    ...plain,
    uncertainty: {
      woundInM: assessment.airFilm.woundInM * uncertainty.woundInFilmRatio,
      filmRatio: assessment.filmRatio * uncertainty.filmRatioRatio,
      ...pick(quantities, (quantity) => (quantity.kind === 'known' ? quantity.uncertainty : undefined)),
      calibrated: uncertainty.calibrated,
      contributions: uncertainty.contributions,
    },
    ...(Object.keys(notKnown).length === 0 ? {} : { notKnown }),
  };
}

/** What `take` finds in each quantity, without the keys where it finds nothing. */
function pick<T>(
  quantities: Readonly<Record<MaybeUnknown, Quantity>>,
  take: (quantity: Quantity) => T | undefined,
): { readonly [Name in MaybeUnknown]?: T } {
  const found: { [Name in MaybeUnknown]?: T } = {};
  for (const name of maybeUnknown) {
    const value = take(quantities[name]);
    if (value !== undefined) found[name] = value;
  }
  return found;
}
