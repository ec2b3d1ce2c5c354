import type { Remedy, StationAssessment } from '@edge-margin/monitoring';
import { isActive } from './level.js';
import { numberWords, quantityWords, unitWords } from './quantity-words.js';
import { reasonWords } from './reason-words.js';
import type { StationContext } from './station-context.js';

/** One change of a set point in words: `Speed 620 -> 560 m/min by 800 mm`. */
export interface ChangeWords {
  readonly setPoint: string;
  readonly from: string;
  readonly to: string;
  readonly unit: string;
  /** `by 800 mm`, `by 14:36`, `now`. */
  readonly by: string;
}

/** What to do: the site's stop rule first where the nip has lifted off, then one change, or a sentence. */
export interface DoWords {
  readonly stopRule: string | null;
  readonly change: ChangeWords | null;
  /** Instead of a change. */
  readonly sentence: string | null;
  /** Smaller, below: what the stop rule is for, else what the change does elsewhere. */
  readonly notes: readonly string[];
}

const nothing = 'nothing';
const callInstruments = 'Check edges by eye. Call instruments.';
const awayFromResonance =
  'Away from where the nip resonates, or more nip load. Rated limits and site rules first';
const stopRuleWords = 'Site stop rule first.';
const stopRuleNote =
  'The nip has lifted off: a bouncing roll can leave the winder. Lock-out and rated limits first; qualified people only';

export function doWords(context: StationContext): DoWords {
  const { station, liveness } = context;
  const assessment = station.assessment;
  if (liveness.kind === 'no-connection') return sentence('Check edges by eye, try another screen');
  if (liveness.kind !== 'live' || assessment === null) return sentence(callInstruments);
  const advice = adviceFor(context, assessment);
  if (!contactLost(assessment)) return advice;
  return { ...advice, stopRule: stopRuleWords, notes: [stopRuleNote] };
}

/** Evidence at either end that the nip lifted off. */
export function contactLost(assessment: StationAssessment): boolean {
  return assessment.nip.ends.some((end) => end.contactLost);
}

function adviceFor(context: StationContext, assessment: StationAssessment): DoWords {
  switch (assessment.state.word) {
    case 'trial':
      return sentence('nothing; rate this roll’s edge at the end');
    case 'not-watched':
      return sentence(
        isMissingSignal(assessment) ? callInstruments : 'Check edges by eye. Call the process engineer.',
      );
    case 'no-roll':
    case 'clear-to-end':
      return sentence(nothing);
    case 'free-from':
    case 'free-now':
      return assessment.remedy === null
        ? withoutRemedy(context, assessment)
        : change(assessment.remedy, context, assessment);
  }
}

/** A signal that does not come is for the instrument people; anything else that keeps a station from being watched is for the engineer. */
function isMissingSignal({ state }: StationAssessment): boolean {
  return state.because.code.startsWith('no-reading') || state.because.code === 'none-in-this-second';
}

/**
 * No computed change: for a bounce beyond its limit what moves it away from the resonance, from its first second on (its alarm waits for a delay);
 * else the alarm's own response, else a plain sentence.
 */
function withoutRemedy({ station }: StationContext, { nip }: StationAssessment): DoWords {
  if (nip.inHandRatio.kind === 'known' && nip.inHandRatio.value <= 0)
    return { ...sentence('Move the speed a few per cent'), notes: [awayFromResonance] };
  const response = station.alarms.find((alarm) => isActive(alarm) && alarm.mechanism !== 'signal')?.response;
  return sentence(response ?? 'No single change of speed or nip load restores the target');
}

function change(remedy: Remedy, context: StationContext, assessment: StationAssessment): DoWords {
  const kind = remedy.setPoint === 'speed' ? 'speed' : 'nipLoad';
  const words: ChangeWords = {
    setPoint: remedy.setPoint === 'speed' ? 'Speed' : 'Nip load',
    from: numberWords(kind, remedy.from, context.system),
    to: numberWords(kind, remedy.to, context.system),
    unit: unitWords(kind, context.system),
    by: byWords(remedy, context, assessment),
  };
  return {
    stopRule: null,
    change: words,
    sentence: null,
    notes: remedy.sideEffects.map((effect) => reasonWords(effect, context.since, context.system)),
  };
}

function byWords(remedy: Remedy, context: StationContext, assessment: StationAssessment): string {
  const due = remedy.byMs !== null && remedy.byMs <= context.nowMs;
  if (assessment.state.word === 'free-now' || due) return 'now';
  if (remedy.byDiameterM !== null)
    return `by ${quantityWords('diameter', remedy.byDiameterM, context.system)}`;
  return remedy.byMs === null ? '' : `by ${context.since(remedy.byMs)}`;
}

function sentence(words: string): DoWords {
  return { stopRule: null, change: null, sentence: words, notes: [] };
}
