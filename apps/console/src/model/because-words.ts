import { reasonWords } from './reason-words.js';
import type { StationContext } from './station-context.js';

/** A reason whose cause stands before a colon: `air` | `the film grows with the diameter`. */
export interface BecauseWords {
  readonly cause: string | null;
  readonly rest: string;
}

/** A cause longer than this is no heading but a part of the sentence. */
const longestCause = 28;

export function becauseWords({ station, liveness, since, system }: StationContext): BecauseWords {
  if (liveness.kind === 'no-connection') return { cause: null, rest: 'this screen cannot reach the service' };
  if (liveness.kind !== 'live' || station.assessment === null)
    return { cause: null, rest: 'nothing comes from this station' };
  return splitCause(reasonWords(station.assessment.because, since, system));
}

function splitCause(text: string): BecauseWords {
  const colon = text.indexOf(': ');
  if (colon <= 0 || colon > longestCause) return { cause: null, rest: text };
  return { cause: text.slice(0, colon + 1), rest: text.slice(colon + 2) };
}
