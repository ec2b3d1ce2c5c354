import { type Quantity, type Reason, valueOf } from '@edge-margin/units';
import type { AirAssessment } from './assess-air.js';
import type { Exchange } from './exchange.js';
import type { IneffectiveNip } from './ineffective-nip.js';
import type { RankedRemedy } from './ranked-remedies.js';

const maybeUnknown = ['filmCriticalSpeedMPerS', 'criticalSpeedMPerS', 'marginRatio'] as const;
type MaybeUnknown = (typeof maybeUnknown)[number];

/** What of an assessment may be unknown, as plain numbers where it is known. */
type Figures = { readonly [Name in MaybeUnknown]?: number };

/** The share that the nip does not hold, with plain numbers where they are known. */
export type IneffectiveNipAnswer = Omit<IneffectiveNip, MaybeUnknown> & Figures;

/** An assessment as plain JSON: known quantities are numbers, others are left out and explained under `notKnown`. */
export interface AssessAnswer
  extends Omit<AirAssessment, MaybeUnknown | 'uncertainty' | 'ineffectiveNip'>, Figures {
  /** Standard uncertainties, in the unit of the key. */
  readonly uncertainty: Figures & {
    readonly woundInM: number;
    readonly filmRatio: number;
    readonly calibrated: boolean;
    readonly contributions: AirAssessment['uncertainty']['contributions'];
    /** What would make the critical speed surer. */
    readonly measureFirst?: Reason;
  };
  readonly ineffectiveNip?: IneffectiveNipAnswer;
  /** Changes of one set point that restore the margin asked for, the smallest first; empty where it is met. */
  readonly remedies: readonly RankedRemedy[];
  /** What was asked for under `exchangeFor`. */
  readonly exchange?: Exchange;
  readonly notKnown?: { readonly [Name in MaybeUnknown]?: Reason };
}

/** The answer to one operating point, ready for `JSON.stringify`. */
export function assessAnswer(assessment: AirAssessment, remedies: readonly RankedRemedy[]): AssessAnswer {
  const { filmCriticalSpeedMPerS, criticalSpeedMPerS, marginRatio, uncertainty, ineffectiveNip, ...plain } =
    assessment;
  const quantities = { filmCriticalSpeedMPerS, criticalSpeedMPerS, marginRatio };
  const notKnown = pick(quantities, (quantity) =>
    quantity.kind === 'unknown' ? quantity.because : undefined,
  );
  return {
    ...pick(quantities, valueOf),
    ...plain,
    uncertainty: {
      woundInM: assessment.airFilm.woundInM * uncertainty.woundInFilmRatio,
      filmRatio: assessment.filmRatio * uncertainty.filmRatioRatio,
      ...pick(quantities, (quantity) => (quantity.kind === 'known' ? quantity.uncertainty : undefined)),
      calibrated: uncertainty.calibrated,
      contributions: uncertainty.contributions,
      ...(uncertainty.measureFirst === undefined ? {} : { measureFirst: uncertainty.measureFirst }),
    },
    ...(ineffectiveNip === undefined ? {} : { ineffectiveNip: ineffectiveAnswer(ineffectiveNip) }),
    remedies,
    ...(Object.keys(notKnown).length === 0 ? {} : { notKnown }),
  };
}

function ineffectiveAnswer(nip: IneffectiveNip): IneffectiveNipAnswer {
  const { criticalSpeedMPerS, marginRatio, ...plain } = nip;
  return { ...plain, ...pick({ criticalSpeedMPerS, marginRatio }, valueOf) };
}

/** What `take` finds in each quantity, without the keys where it finds nothing. */
function pick<T>(
  quantities: { readonly [Name in MaybeUnknown]?: Quantity },
  take: (quantity: Quantity) => T | undefined,
): { readonly [Name in MaybeUnknown]?: T } {
  const found: { [Name in MaybeUnknown]?: T } = {};
  for (const name of maybeUnknown) {
    const quantity = quantities[name];
    const value = quantity === undefined ? undefined : take(quantity);
    if (value !== undefined) found[name] = value;
  }
  return found;
}
