import type { Mechanism } from '@edge-margin/alarms';
import type { Effect, StationAssessment } from '@edge-margin/monitoring';
import { millimetres, percent, type StationTruth } from './truth-summary.js';

export interface Raised {
  readonly mechanism: Mechanism;
  readonly atMs: number;
  readonly diameterM: number;
  readonly text: string;
}

/** What the service made of the roll while it was wound. */
export interface StationService {
  readonly raised: readonly Raised[];
  /** Boundary that the first assessment with one foresaw. */
  readonly foreseen: {
    readonly atDiameterM: number;
    readonly earliestM: number;
    readonly expectedM: number;
    readonly latestM: number | null;
  } | null;
  /** State words, by share of the assessments, the most frequent first. */
  readonly words: readonly { readonly word: string; readonly ratio: number }[];
  readonly leastMarginRatio: number | null;
  readonly airDoesNotApply: string | null;
  readonly highestRisk: number | null;
  readonly sawContactLost: boolean;
  readonly lastDiameterM: number | null;
  readonly readingsNotUsed: readonly { readonly code: string; readonly count: number }[];
  readonly gaps: number;
}

/** Gathers what belongs to one station's roll. */
export function stationService(effects: readonly Effect[], truth: StationTruth): StationService {
  const [winderId, stationId] = truth.key.split('/');
  const isNow = (atMs: number): boolean => atMs >= truth.fromMs && atMs <= truth.toMs;
  const assessments = effects.flatMap((effect) =>
    effect.kind === 'assessment' &&
    effect.assessment.winderId === winderId &&
    effect.assessment.stationId === stationId &&
    isNow(effect.assessment.atMs)
      ? [effect.assessment]
      : [],
  );
  const raised = effects.flatMap((effect): Raised[] => {
    if (effect.kind !== 'alarm-transition' || effect.transition.kind !== 'raise') return [];
    const { alarm, atMs } = effect.transition;
    if (alarm.winderId !== winderId || alarm.stationId !== stationId || !isNow(atMs)) return [];
    return [
      { mechanism: alarm.mechanism, atMs, diameterM: diameterAt(truth, atMs), text: alarm.because.text },
    ];
  });
  return {
    raised,
    foreseen: foreseen(assessments, truth),
    words: shares(assessments.map(({ state }) => state.word)),
    leastMarginRatio: extreme(
      assessments.map(({ air }) => valueOf(air.marginRatio)),
      Math.min,
    ),
    airDoesNotApply: assessments.find(({ air }) => !air.applies)?.air.because.text ?? null,
    highestRisk: extreme(
      assessments.map(({ risk }) => valueOf(risk.now)),
      Math.max,
    ),
    sawContactLost: assessments.some(({ nip }) => nip.ends.some((end) => end.contactLost)),
    lastDiameterM:
      assessments
        .map(({ roll }) => (roll === null ? null : valueOf(roll.diameterM)))
        .findLast((one) => one !== null) ?? null,
    readingsNotUsed: notUsed(effects, `${winderId ?? ''}.${stationId ?? ''}`, isNow),
    gaps: effects.filter((effect) => effect.kind === 'gap' && isNow(effect.gap.fromMs)).length,
  };
}

function foreseen(
  assessments: readonly StationAssessment[],
  truth: StationTruth,
): StationService['foreseen'] {
  const first = assessments.find(({ forecast }) => forecast.boundary !== null);
  const boundary = first?.forecast.boundary;
  if (first === undefined || boundary === null || boundary === undefined) return null;
  return {
    atDiameterM: diameterAt(truth, first.atMs),
    earliestM: boundary.earliest.diameterM,
    expectedM: boundary.expected.diameterM,
    latestM: boundary.latest?.diameterM ?? null,
  };
}

/** True diameter at a moment. */
function diameterAt({ states }: StationTruth, atMs: number): number {
  return (states.find((state) => state.atMs >= atMs) ?? states.at(-1))?.diameterM ?? 0;
}

function notUsed(
  effects: readonly Effect[],
  stationKey: string,
  isNow: (atMs: number) => boolean,
): StationService['readingsNotUsed'] {
  const counts = new Map<string, number>();
  for (const effect of effects) {
    if (effect.kind !== 'not-used' || !isNow(effect.notUsed.arrivedAtMs)) continue;
    const { because, stationKey: key } = effect.notUsed;
    if (key === undefined || key.replace('/', '.') === stationKey)
      counts.set(because.code, (counts.get(because.code) ?? 0) + 1);
  }
  return [...counts].map(([code, count]) => ({ code, count }));
}

function shares(words: readonly string[]): StationService['words'] {
  const counts = new Map<string, number>();
  for (const word of words) counts.set(word, (counts.get(word) ?? 0) + 1);
  return [...counts]
    .map(([word, count]) => ({ word, ratio: count / words.length }))
    .sort((a, b) => b.ratio - a.ratio || a.word.localeCompare(b.word));
}

function valueOf(quantity: StationAssessment['risk']['now']): number | null {
  return quantity.kind === 'known' ? quantity.value : null;
}

function extreme(values: readonly (number | null)[], of: (...all: number[]) => number): number | null {
  const known = values.filter((one) => one !== null);
  return known.length === 0 ? null : of(...known);
}

/** The service's view in lines for people. */
export function serviceLines(service: StationService): readonly string[] {
  const { foreseen: ahead } = service;
  return [
    service.words.map(({ word, ratio }) => `${word} ${percent(ratio)} of the time`).join(', '),
    service.leastMarginRatio === null
      ? `air margin not known${service.airDoesNotApply === null ? '' : `: ${service.airDoesNotApply}`}`
      : `least air margin ${percent(service.leastMarginRatio)}`,
    `highest edge risk ${service.highestRisk === null ? 'not known' : percent(service.highestRisk)}`,
    ahead === null
      ? 'no boundary foreseen'
      : `at ${millimetres(ahead.atDiameterM)} mm first foresaw the boundary at ${millimetres(ahead.expectedM)} mm (earliest ${millimetres(ahead.earliestM)}, latest ${ahead.latestM === null ? 'open' : millimetres(ahead.latestM)})`,
    ...(service.sawContactLost ? ['saw that the nip lost contact'] : []),
    ...(service.raised.length === 0 ? ['no alarm'] : grouped(service.raised)),
    ...(service.readingsNotUsed.length === 0
      ? []
      : [
          `readings not used: ${service.readingsNotUsed.map(({ code, count }) => `${count} x ${code}`).join(', ')}`,
        ]),
    ...(service.gaps === 0 ? [] : [`${service.gaps} gaps noticed`]),
  ];
}

function grouped(raised: readonly Raised[]): readonly string[] {
  return (['air', 'nip', 'signal'] as const).flatMap((mechanism) => {
    const own = raised.filter((one) => one.mechanism === mechanism);
    const [first] = own;
    if (first === undefined) return [];
    const times = own.length === 1 ? 'once' : `${own.length} times`;
    return [`${mechanism} alarm ${times}, first at ${millimetres(first.diameterM)} mm: "${first.text}"`];
  });
}
