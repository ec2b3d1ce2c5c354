import type { GaugeData } from '../drawing/gauge-scale.js';
import { chanceAtEnd } from '../drawing/radius-gauge.js';
import { chanceTitle, spokenChance } from './chance-words.js';
import { numberWords, quantityWords } from './quantity-words.js';
import { reasonWords } from './reason-words.js';
import { livenessWords } from './liveness.js';
import type { StationContext } from './station-context.js';

/** The gauge as a meter: its name, its value in per cent within 0 to 100, and the whole finding in one sentence. */
export interface GaugeMeter {
  readonly name: string;
  /** Null where the chance now is not known: then it is no meter but a picture. */
  readonly value: number | null;
  readonly sentence: string;
}

export function gaugeMeter(context: StationContext, data: GaugeData): GaugeMeter {
  const risk = context.station.assessment?.risk;
  const name = capitalised(chanceTitle(risk?.meaning ?? 'wraps-free-to-move'));
  if (!data.live || risk === undefined || risk.now.kind === 'unknown')
    return { name, value: null, sentence: unknownSentence(context, data) };
  const now = risk.now.value;
  return {
    name,
    value: Math.min(100, Math.max(0, Math.round(now * 100))),
    sentence: liveSentence(now, context, data),
  };
}

function liveSentence(now: number, { system }: StationContext, data: GaugeData): string {
  const end = chanceAtEnd(data.ahead, data);
  const parts = [
    `${spokenChance(now)} now at ${quantityWords('diameter', data.nowM, system)}`,
    end === null ? '' : `${spokenChance(end)} at set end`,
    boundarySentence(data, system),
  ];
  return parts.filter((part) => part !== '').join(', ');
}

function boundarySentence({ boundary }: GaugeData, system: StationContext['system']): string {
  if (boundary === null) return '';
  const { earliestM, expectedM, latestM } = boundary;
  const to = latestM === null ? '' : `, latest ${quantityWords('diameter', latestM, system)}`;
  return `limit reached at ${numberWords('diameter', earliestM, system)} at the earliest, expected ${quantityWords('diameter', expectedM, system)}${to}`;
}

function unknownSentence({ liveness, station, since, system }: StationContext, data: GaugeData): string {
  const last = `last known diameter ${quantityWords('diameter', data.nowM, system)}`;
  if (liveness.kind !== 'live') return `${livenessWords(liveness, since)}, ${last}`;
  const now = station.assessment?.risk.now;
  return `not known: ${now?.kind === 'unknown' ? reasonWords(now.because, since, system) : 'the diameter is missing'}, ${last}`;
}

function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
