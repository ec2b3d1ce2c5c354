import type { Raised, StationService } from './service-summary.js';
import { isFreedByNip, millimetres, percent, type StationTruth } from './truth-summary.js';

export interface Verdict {
  readonly right: readonly string[];
  readonly wrong: readonly string[];
}

const FORECAST_RATIO = 0.1; // what may honestly be promised of a calibrated grade (own derivation)
const NEAR_CONTACT_LOSS = 0.7; // a nip alarm from here on is no false one
const NEAR_SWING = 0.5;

type Judgement = { readonly isRight: boolean; readonly text: string };

/** Where the service was right and where it was wrong about one roll, by rules and not by eye. */
export function verdict(truth: StationTruth, service: StationService): Verdict {
  const all = [
    ...judgeAir(truth, service),
    ...judgeForecast(truth, service),
    ...judgeNip(truth, service),
    ...judgeCauses(truth),
    ...judgeDiameter(truth, service),
    ...judgeWatch(service),
  ];
  const texts = (isRight: boolean): readonly string[] =>
    all.filter((one) => one.isRight === isRight).map(({ text }) => text);
  return { right: texts(true), wrong: texts(false) };
}

function judgeAir(truth: StationTruth, service: StationService): readonly Judgement[] {
  const alarm = service.raised.find(({ mechanism }) => mechanism === 'air');
  const { boundary } = truth;
  if (boundary === null && alarm === undefined)
    return [{ isRight: true, text: 'silent about air, and wraps never stayed free' }];
  if (boundary === null)
    return [
      {
        isRight: false,
        text: `false air alarm at ${millimetres(alarm?.diameterM ?? 0)} mm: never more than ${truth.mostFreeWraps} wraps were free, none for long`,
      },
    ];
  if (isFreedByNip(truth))
    return [{ isRight: true, text: 'wraps were free because the nip let go: judged as nip' }];
  if (alarm === undefined)
    return [
      {
        isRight: false,
        text: `no air alarm, though wraps stayed free from ${millimetres(boundary.diameterM)} mm on`,
      },
    ];
  const leadS = (boundary.atMs - alarm.atMs) / 1000;
  const early = airLead(leadS, (boundary.atMs - truth.fromMs) / 1000);
  const called: Judgement = {
    isRight: false,
    text: 'people were called to a roll with good edges: wraps were free, and nothing moved them',
  };
  return truth.isRough ? [early] : [early, called];
}

/** Where wraps are free from the first seconds of a roll on, nobody can be told before: then at once is right. */
function airLead(leadS: number, ageS: number): Judgement {
  if (leadS >= 0) return { isRight: true, text: `air alarm ${leadS.toFixed(0)} s before wraps stayed free` };
  const isAtOnce = ageS < 10 && leadS > -5;
  return {
    isRight: isAtOnce,
    text: `air alarm ${(-leadS).toFixed(0)} s after wraps stayed free${isAtOnce ? ', which they were from the start' : ''}`,
  };
}

function judgeForecast(truth: StationTruth, service: StationService): readonly Judgement[] {
  const { boundary } = truth;
  const { foreseen } = service;
  if (boundary === null || foreseen === null) return [];
  if (isFreedByNip(truth)) return [];
  const error = foreseen.expectedM / boundary.diameterM - 1;
  const isRight = Math.abs(error) <= FORECAST_RATIO;
  return [
    {
      isRight,
      text: `first forecast of the boundary ${percent(Math.abs(error))} ${error < 0 ? 'too small' : 'too large'} in diameter`,
    },
  ];
}

function judgeNip(truth: StationTruth, service: StationService): readonly Judgement[] {
  const alarm = service.raised.find(({ mechanism }) => mechanism === 'nip');
  const { brieflyLost } = truth;
  const brief: readonly Judgement[] =
    brieflyLost === null || (alarm !== undefined && alarm.atMs <= brieflyLost.atMs)
      ? []
      : [
          {
            isRight: false,
            text: `nothing said before the nip let go for a moment at ${millimetres(brieflyLost.diameterM)} mm`,
          },
        ];
  return [...brief, ...judgeNipStay(truth, alarm)];
}

function judgeNipStay(truth: StationTruth, alarm: Raised | undefined): readonly Judgement[] {
  const { contactLost } = truth;
  if (contactLost === null) {
    const wasNear = truth.worstInertiaRatio >= NEAR_CONTACT_LOSS || truth.worstSwingRatio >= NEAR_SWING;
    if (alarm === undefined)
      return truth.brieflyLost === null
        ? [{ isRight: true, text: 'silent about the nip, and it never let go' }]
        : [];
    return wasNear
      ? [{ isRight: true, text: 'nip alarm though contact held: it was near' }]
      : [
          {
            isRight: false,
            text: `false nip alarm: inertia never above ${percent(truth.worstInertiaRatio)}, swing never above ${percent(truth.worstSwingRatio)}`,
          },
        ];
  }
  if (alarm === undefined)
    return [
      {
        isRight: false,
        text: `no nip alarm, though contact was lost from ${millimetres(contactLost.diameterM)} mm on`,
      },
    ];
  const leadS = (contactLost.atMs - alarm.atMs) / 1000;
  return [
    leadS >= 0
      ? { isRight: true, text: `nip alarm ${leadS.toFixed(0)} s before the nip began to lose contact` }
      : {
          isRight: false,
          text: `nip alarm ${(-leadS).toFixed(0)} s after the nip began to lose contact (at ${millimetres(contactLost.diameterM)} mm)`,
        },
  ];
}

/** Rings and events: the service does not look for them yet, so that rough edges with such a cause go without a word. */
function judgeCauses({ isRough, rolls }: StationTruth): readonly Judgement[] {
  const causes = [...new Set(rolls.flatMap(({ roll }) => (roll.rings ?? []).map(({ cause }) => cause)))];
  const events = rolls[0]?.roll.events ?? [];
  if (!isRough) return [];
  return [
    ...causes.map((cause) => ({
      isRight: false,
      text: `nothing said of the rings that come from: ${cause}; the service does not look for rings yet`,
    })),
    ...(events.length === 0
      ? []
      : [{ isRight: false, text: 'rings at events not named: the service keeps no ring log of events yet' }]),
  ];
}

function judgeDiameter({ rolls }: StationTruth, { lastDiameterM }: StationService): readonly Judgement[] {
  const trueM = rolls[0]?.roll.diameterM ?? 0;
  if (lastDiameterM === null) return [{ isRight: false, text: 'no diameter known at any time' }];
  const offM = Math.abs(lastDiameterM - trueM);
  return offM < 0.002
    ? []
    : [
        {
          isRight: false,
          text: `last diameter ${(offM * 1000).toFixed(1)} mm off: a jump or drift of the gauge was believed in the end`,
        },
      ];
}

function judgeWatch({ words, highestRisk }: StationService): readonly Judgement[] {
  const blind = words.find(({ word }) => word === 'not-watched')?.ratio ?? 0;
  if (words.length === 0) return [{ isRight: false, text: 'not a single assessment' }];
  if (highestRisk === null) return [{ isRight: false, text: 'edge risk never known' }];
  return blind > 0.25 ? [{ isRight: false, text: `"not watched" for ${percent(blind)} of the roll` }] : [];
}
