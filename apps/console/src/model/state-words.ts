import type { AlarmPriority } from '@edge-margin/alarms';
import type { StationAssessment } from '@edge-margin/monitoring';
import { type Level, edgePriority } from './level.js';
import { shortLiveness } from './liveness.js';
import { quantityWords } from './quantity-words.js';
import { reasonWords } from './reason-words.js';
import type { StationContext } from './station-context.js';

/** The state of one station in words, from a closed list. */
export interface StateWords {
  readonly level: Level;
  /** Capitals, one or two lines. */
  readonly headline: readonly string[];
  /** Why, for states that have no second line of their own. */
  readonly sub: string | null;
  /** The word of the alarm's priority, where an alarm stands behind the state. */
  readonly priority: AlarmPriority | null;
  /** For a row among many: `FREE FROM 830 mm`, `clear to end`. */
  readonly short: string;
  /** Spoken when it changes; without the diameter, which moves all the time. */
  readonly spoken: string;
}

export function stateWords(context: StationContext): StateWords {
  const { assessment } = context.station;
  if (context.liveness.kind !== 'live' || assessment === null)
    return notWatched(shortLiveness(context.liveness, context.since));
  switch (assessment.state.word) {
    case 'clear-to-end':
      return clear(context, assessment);
    case 'free-from':
      return freeFrom(context, assessment);
    case 'free-now':
      return free(context, ['WRAPS FREE TO MOVE', 'NOW'], 'FREE NOW', 'wraps free to move now');
    case 'trial':
      return quiet(
        'trial',
        'TRIAL',
        withoutPrefix(reasonWords(assessment.state.because, context.since, context.system), 'trial'),
        'trial',
      );
    case 'no-roll':
      return noRoll(context, assessment);
    case 'not-watched':
      return notWatched(
        withoutPrefix(reasonWords(assessment.state.because, context.since, context.system), 'not watched'),
      );
  }
}

/** Says CLEAR only where no mechanism of the station is unseen: a nip that nobody watches is never clear. */
function clear(context: StationContext, assessment: StationAssessment): StateWords {
  if (context.station.nip !== null && !assessment.nip.watched)
    return notWatched(reasonWords(assessment.nip.because, context.since, context.system));
  return {
    level: 'none',
    headline: ['CLEAR TO END OF SET'],
    sub: null,
    priority: null,
    short: 'clear to end',
    spoken: 'clear to end of set',
  };
}

function freeFrom(context: StationContext, assessment: StationAssessment): StateWords {
  const spoken = 'wraps free to move before the end of the set';
  const boundary = assessment.forecast.boundary;
  if (boundary === null) return free(context, ['WRAPS FREE TO MOVE'], 'FREE', spoken);
  const from = quantityWords('diameter', boundary.earliest.diameterM, context.system);
  return free(context, ['WRAPS FREE TO MOVE', `FROM ${from}`], `FREE FROM ${from}`, spoken);
}

function free(
  context: StationContext,
  headline: readonly string[],
  short: string,
  spoken: string,
): StateWords {
  const priority = edgePriority(context.station.alarms);
  return {
    level: priority ?? 'plain',
    headline,
    sub: null,
    priority,
    short,
    spoken: priority === null ? spoken : `${spoken}, ${priority} priority`,
  };
}

function noRoll({ since, system }: StationContext, assessment: StationAssessment): StateWords {
  const because = assessment.state.because;
  const text = reasonWords(because, since, system);
  if (because.code === 'stopped') return quiet('none', 'STOPPED', null, 'stopped');
  const setChange = /set.change/.test(`${because.code} ${text}`);
  const words = setChange ? 'set change' : 'no roll';
  const why = withoutPrefix(withoutPrefix(text, 'no roll'), 'set change');
  return quiet('none', words.toUpperCase(), why === '' ? null : why, words);
}

function quiet(level: Level, headline: string, sub: string | null, short: string): StateWords {
  return { level, headline: [headline], sub, priority: null, short, spoken: headline.toLowerCase() };
}

function notWatched(why: string): StateWords {
  return {
    level: 'unwatched',
    headline: ['NOT WATCHED'],
    sub: why,
    priority: null,
    short: 'NOT WATCHED',
    spoken: `not watched: ${why}`,
  };
}

/** `not watched: no diameter since 02:31` without its first words, which stand above it already. */
function withoutPrefix(text: string, prefix: string): string {
  const lower = text.toLowerCase();
  if (!lower.startsWith(prefix)) return text;
  return text.slice(prefix.length).replace(/^[\s:,]+/, '');
}

/** The whole state as one sentence, for titles and for people who listen: `wraps free to move from 830 mm`. */
export function stateSentence(words: StateWords): string {
  const head = words.headline.join(' ').toLowerCase();
  return words.sub === null ? head : `${head}: ${words.sub}`;
}
