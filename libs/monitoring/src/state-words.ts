import type { Grade } from '@edge-margin/plant';
import type { TrackedRoll } from '@edge-margin/roll-geometry';
import { type Quantity, type Reason, reason } from '@edge-margin/units';
import type { AirInHand, EdgeRisk, Forecast, NipInHand, StationStateWords } from './assessment.js';
import type { StationModel } from './model.js';
import { figure } from './words.js';

interface Facts {
  readonly model: StationModel;
  readonly grade: Grade;
  readonly roll: TrackedRoll | null;
  readonly noRoll: Reason | null;
  readonly risk: EdgeRisk;
  readonly forecast: Omit<Forecast, 'aheadAfterRemedy'>;
  readonly air: AirInHand;
  readonly nip: NipInHand;
  readonly setEndDiameterM: number;
}

/** The state in words, from a closed list: what is worst and known comes first, and nothing unseen is ever called clear. */
export function stateWords(facts: Facts): StationStateWords {
  const { forecast, grade, model, noRoll, risk, roll } = facts;
  if (roll === null) return { word: 'no-roll', because: noRoll ?? reason('no-roll', 'no roll') };
  if (grade.activated && knownChance(risk) >= risk.limit)
    return { word: 'free-now', because: reason('free-now', 'wraps free to move now') };
  if (forecast.boundary !== null) {
    const { diameterM } = forecast.boundary.earliest;
    const at = figure('diameter', diameterM, model.display);
    return {
      word: 'free-from',
      because: reason('free-from', `wraps free to move from ${at}`, { diameterM }),
    };
  }
  const unseen = whyUnseen(facts);
  if (unseen !== undefined)
    return {
      word: 'not-watched',
      because: reason(unseen.code, `not watched: ${unseen.text}`, unseen.params),
    };
  if (roll.phase === 'stopped') return { word: 'no-roll', because: reason('stopped', 'stopped') };
  if (!grade.activated) {
    return {
      word: 'trial',
      because: reason('trial', `trial: no rated roll has confirmed ${grade.name}; nobody is called`, {
        grade: grade.id,
      }),
    };
  }
  return {
    word: 'clear-to-end',
    because: reason('clear-to-end', 'clear to end of set', { setEndDiameterM: facts.setEndDiameterM }),
  };
}

/** Chance from the mechanisms that are seen: what is not known can only add to it. */
function knownChance({ air, nip }: EdgeRisk): number {
  const of = (chance: Quantity): number => (chance.kind === 'known' ? chance.value : 0);
  return 1 - (1 - of(air)) * (1 - of(nip));
}

function whyUnseen({ risk, roll, forecast }: Facts): Reason | undefined {
  if (risk.now.kind === 'unknown') return risk.now.because;
  if (roll?.diameterM.kind === 'unknown') return roll.diameterM.because;
  return forecast.ahead.length === 0 &&
    forecast.setEnd === null &&
    roll?.phase !== 'stopped' &&
    forecast.because.code !== 'clear'
    ? forecast.because
    : undefined;
}

/** The largest contribution to the risk, or what keeps it low: `air: the film grows with the diameter`. */
export function becauseWords({ air, forecast, model, nip, risk, roll, setEndDiameterM }: Facts): Reason {
  if (roll === null) return reason('no-roll', 'no roll is being wound');
  if (risk.now.kind === 'unknown') return risk.now.because;
  const nipLeads =
    risk.nip.kind === 'known' &&
    risk.air.kind === 'known' &&
    risk.nip.value > risk.air.value &&
    risk.nip.value > 0.05;
  if (nipLeads) return reason(nip.because.code, `nip: ${nip.because.text}`, nip.because.params);
  if (forecast.boundary !== null) {
    const now = risk.air.kind === 'known' && risk.air.value >= risk.limit;
    return now
      ? reason('air-beyond', `air: ${air.because.text}`, air.because.params)
      : reason('air-grows', 'air: the film grows with the diameter', {});
  }
  const end = figure('diameter', setEndDiameterM, model.display);
  if (!air.applies) return reason('air-no-matter', `air: ${air.because.text}`, air.because.params);
  return reason('in-hand', `air and nip in hand to ${end}`, { setEndDiameterM });
}
