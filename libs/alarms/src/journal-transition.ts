import {
  type AlarmDefinition,
  type AlarmKeyState,
  type Occurrence,
  alarmView,
  occurrenceId,
} from './alarm-state.js';
import type { AlarmFlags, AlarmTransition } from './alarm-types.js';
import { displayedState } from './next-alarm.js';

/** What a transition makes of the flags and of the occurrence. */
export interface AlarmKeyChange {
  readonly kind: AlarmTransition['kind'];
  readonly atMs: number;
  readonly actor: string | null;
  readonly flags: AlarmFlags;
  readonly occurrence: Occurrence;
}

export interface Journaled {
  readonly state: AlarmKeyState;
  readonly transition: AlarmTransition;
}

/**
 * Puts a change into effect and writes its journal row. The row's id is made of occurrence, kind, stage and, from the second on, a
 * count: `w3.a.air@1764044100000:escalate:reached:2`. It is equal in every replay.
 */
export function journalTransition(
  definition: AlarmDefinition,
  state: AlarmKeyState,
  change: AlarmKeyChange,
): Journaled {
  const { kind, atMs, actor, flags } = change;
  const count = (change.occurrence.journaled[kind] ?? 0) + 1;
  const occurrence = { ...change.occurrence, journaled: { ...change.occurrence.journaled, [kind]: count } };
  const after = { ...state, flags, occurrence };
  const transition: AlarmTransition = {
    id: transitionId(occurrenceId(definition, occurrence), kind, occurrence, count),
    kind,
    from: displayedState(state.flags),
    to: displayedState(flags),
    atMs,
    actor,
    alarm: alarmView(definition, after),
    modelRevision: definition.modelRevision,
    configurationRevision: definition.configurationRevision,
  };
  return { state: after, transition };
}

function transitionId(
  id: string,
  kind: AlarmTransition['kind'],
  { stage }: Occurrence,
  count: number,
): string {
  const aboutStage = kind === 'clear' || kind === 'acknowledge' ? '' : `:${stage}`;
  return `${id}:${kind}${aboutStage}${count > 1 ? `:${count}` : ''}`;
}
