import type { Action } from '../scenario/scenario-schema.js';

/** What the operator has set on this roll, and which of the scripted actions are done. */
export interface OperatorState {
  readonly done: readonly number[];
  readonly speedRatio: number;
  readonly nipLoadRatio: number;
  /** For actions that wait for something to be seen, by number: how long it has been seen, and how long ago it was enough. */
  readonly seenS?: Readonly<Record<number, number>>;
}

/** A new roll: nothing done, planned set points. */
export const UNTOUCHED: OperatorState = { done: [], speedRatio: 1, nipLoadRatio: 1 };

/** What an operator goes by. */
export interface OperatorView {
  readonly diameterM: number;
  readonly ageS: number;
  /** Larger load swing of the two ends. */
  readonly swingRatio?: number;
  readonly periodS?: number;
  /** Whether an action that is due is done at all: the crew's chance, drawn when it is due. */
  readonly isDone?: (chance: number) => boolean;
}

/** Does every action whose moment has come; each once a roll, in the order of the script. */
export function operate(script: readonly Action[], state: OperatorState, view: OperatorView): OperatorState {
  return script.reduce<OperatorState>((now, action, i) => {
    if (now.done.includes(i)) return now;
    const watched = watch(action, now.seenS?.[i] ?? 0, view);
    if (!watched.isDue)
      return watched.seenS === (now.seenS?.[i] ?? 0)
        ? now
        : { ...now, seenS: { ...now.seenS, [i]: watched.seenS } };
    const done = [...now.done, i];
    if (view.isDone !== undefined && !view.isDone(action.chance)) return { ...now, done };
    return {
      ...now,
      done,
      speedRatio: action.speedRatio ?? now.speedRatio,
      nipLoadRatio: action.nipLoadRatio ?? now.nipLoadRatio,
    };
  }, state);
}

/** Seen long enough, and the time to react gone by: then it is due. What was seen long enough is not forgotten. */
function watch(
  { at }: Action,
  seenS: number,
  view: OperatorView,
): { readonly isDue: boolean; readonly seenS: number } {
  if ('diameterM' in at) return { isDue: view.diameterM >= at.diameterM, seenS };
  if ('afterS' in at) return { isDue: view.ageS >= at.afterS, seenS };
  const isSeen = (view.swingRatio ?? 0) > at.swingAbove;
  const next = isSeen || seenS > at.forS ? seenS + (view.periodS ?? 0) : 0;
  return { isDue: next > at.forS + at.reactionS, seenS: next };
}
