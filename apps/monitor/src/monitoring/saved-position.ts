/** A part of the state as it is stored. */
export interface SavedState {
  readonly stationKey: string;
  readonly json: string;
}

/** Key of the row that says which position the saved states have reached. */
const stateOfAll = '';

/** The states with the position that they have reached. */
export function statesUpTo(position: number, states: readonly SavedState[]): SavedState[] {
  return [...states, { stationKey: stateOfAll, json: JSON.stringify({ position }) }];
}

/** The position that stored states have reached; 0 where there are none. */
export function reachedPosition(saved: readonly SavedState[]): number {
  const found = saved.find(({ stationKey }) => stationKey === stateOfAll);
  return found === undefined ? 0 : (JSON.parse(found.json) as { position: number }).position;
}

/** The states alone, by their keys. */
export function stationStates(saved: readonly SavedState[]): Map<string, string> {
  const states = new Map(saved.map(({ stationKey, json }) => [stationKey, json]));
  states.delete(stateOfAll);
  return states;
}
