import type { Action } from '../scenario/scenario-schema.js';

/** What the operator has set on this roll, and which of the scripted actions are done. */
export interface OperatorState {
  readonly done: readonly number[];
  readonly speedRatio: number;
  readonly nipLoadRatio: number;
}

/** A new roll: nothing done, planned set points. */
export const UNTOUCHED: OperatorState = { done: [], speedRatio: 1, nipLoadRatio: 1 };

/** Does every action whose moment has come; each once a roll, in the order of the script. */
export function operate(
  script: readonly Action[],
  state: OperatorState,
  roll: { readonly diameterM: number; readonly ageS: number },
): OperatorState {
  return script.reduce<OperatorState>((now, action, i) => {
    const isDue =
      'diameterM' in action.at ? roll.diameterM >= action.at.diameterM : roll.ageS >= action.at.afterS;
    if (!isDue || now.done.includes(i)) return now;
    return {
      done: [...now.done, i],
      speedRatio: action.speedRatio ?? now.speedRatio,
      nipLoadRatio: action.nipLoadRatio ?? now.nipLoadRatio,
    };
  }, state);
}
