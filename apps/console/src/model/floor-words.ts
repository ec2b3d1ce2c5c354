import type { Level } from './level.js';
import { becauseWords } from './because-words.js';
import { type StateWords, stateSentence, stateWords } from './state-words.js';
import type { StationContext } from './station-context.js';
import { type ActBy, actBy, shortSetEnd } from './when-words.js';

/** One station as a row among all winders. */
export interface FloorRow {
  readonly key: string;
  readonly mark: string;
  readonly href: string;
  readonly level: Level;
  readonly words: string;
  readonly act: ActBy;
  /** `14:36`, `now`; empty where nobody has to act. */
  readonly actWords: string;
  /** `ends 14:39`, where nobody has to act. */
  readonly endWords: string;
  readonly why: string;
  /** The whole row in one sentence, for people who listen; it holds the mark as it is seen (WCAG 2.2, 2.5.3). */
  readonly sentence: string;
}

export function floorRow(context: StationContext): FloorRow {
  const state = stateWords(context);
  const act = actBy(context);
  const actWords = act === null ? '' : act.kind === 'now' ? 'now' : context.since(act.atMs);
  const full = stationName(context);
  const name = full.includes(context.mark) ? full : `${context.mark}, ${full}`;
  return {
    key: `${context.winder.id}/${context.station.id}`,
    mark: context.mark,
    href: stationHref(context.winder.id, context.station.id),
    level: state.level,
    words: state.short,
    act,
    actWords,
    endWords: act === null ? shortSetEnd(context) : '',
    why: whyWords(state, context),
    sentence: [
      `${name}: ${stateSentence(state)}`,
      spokenAct(act, actWords),
      state.priority === null ? '' : `${state.priority} priority`,
    ]
      .filter((part) => part !== '')
      .join(', '),
  };
}

/** `Winder 5`, and its station where it has several. */
export function stationName({ winder, station }: Pick<StationContext, 'winder' | 'station'>): string {
  return winder.stations.length > 1 ? `${winder.name}, ${station.name}` : winder.name;
}

export function stationHref(winderId: string, stationId: string): string {
  return `/winders/${encodeURIComponent(winderId)}/${encodeURIComponent(stationId)}`;
}

function spokenAct(act: ActBy, words: string): string {
  if (act === null) return '';
  return act.kind === 'now' ? 'act now' : `act by ${words}`;
}

/** A row has room for the first part of a reason. */
function shortest(reason: string): string {
  return reason.split(/[,;]/)[0] ?? reason;
}

/** `medium: air`, or why nothing is said. */
function whyWords(state: StateWords, context: StationContext): string {
  const grade = context.station.assessment?.grade;
  if (state.level === 'trial') return grade?.ratedRolls === 0 ? 'not calibrated' : 'not activated';
  if (state.level === 'none' || state.sub !== null) return shortest(state.sub ?? '');
  const cause = becauseWords(context).cause?.replace(/:$/, '') ?? '';
  return [state.priority, cause].filter((part) => part !== null && part !== '').join(': ');
}
