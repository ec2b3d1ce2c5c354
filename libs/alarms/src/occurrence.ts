import type { AlarmAcknowledgement, AlarmStep } from './alarm-input.js';
import {
  type AlarmDefinition,
  type AlarmKeyState,
  type AlarmText,
  type Occurrence,
  type WithOccurrence,
  alarmStages,
} from './alarm-state.js';
import type { AlarmFlags, AlarmStage, AlarmTransition } from './alarm-types.js';
import { type Journaled, journalTransition } from './journal-transition.js';
import { nextAlarm } from './next-alarm.js';
import {
  type Raised,
  type StageSteps,
  conditionsAfter,
  earliestOnset,
  nothingHappens,
  presentStage,
  raisedAfter,
  raisedBefore,
} from './raised-stages.js';

/**
 * What the stages' events make of the occurrence, instant by instant: all events of one instant count together, so that one stage
 * taking over from the other is one change of stage and not an end with a new beginning.
 * @param sample the sample that was applied, or null where only time has passed
 */
export function followStages(
  definition: AlarmDefinition,
  state: AlarmKeyState,
  steps: StageSteps,
  sample: { readonly atMs: number; readonly text: AlarmText } | null,
): AlarmStep {
  const transitions: AlarmTransition[] = [];
  let raised = raisedBefore(state, steps);
  let now: AlarmKeyState = { ...state, conditions: conditionsAfter(steps) };
  for (const atMs of instants(steps, sample?.atMs)) {
    raised = raisedAfter(raised, steps, atMs);
    const text = atMs === sample?.atMs ? sample.text : state.text;
    const change = text === null ? null : changeStage(definition, now, { raised, atMs, text });
    if (change === null) continue;
    now = change.state;
    transitions.push(change.transition);
  }
  return { state: sample === null ? now : withText(now, sample.text), transitions, refused: null };
}

/** The acknowledgement of the present occurrence, with its transition. */
export function acknowledgeOccurrence(
  definition: AlarmDefinition,
  state: WithOccurrence,
  flags: AlarmFlags,
  { atMs, actor, comment }: AlarmAcknowledgement,
): Journaled {
  const occurrence = { ...state.occurrence, acknowledged: { atMs, actor, comment } };
  return journalTransition(definition, state, { kind: 'acknowledge', atMs, actor, flags, occurrence });
}

interface Present {
  readonly raised: Raised;
  readonly atMs: number;
  readonly text: AlarmText;
}

function changeStage(definition: AlarmDefinition, state: AlarmKeyState, present: Present): Journaled | null {
  const stage = presentStage(present.raised);
  const { occurrence, flags } = state;
  if (!flags.active || occurrence === null)
    return stage === null ? null : begin(definition, state, stage, present);
  if (stage === occurrence.stage) return null;
  const { atMs, text } = present;
  const change = { atMs, actor: null };
  if (stage === null) {
    const cleared = { ...occurrence, clearedAtMs: atMs };
    return journalTransition(definition, state, {
      ...change,
      kind: 'clear',
      flags: nextAlarm(flags, 'CLEAR').flags,
      occurrence: cleared,
    });
  }
  const moved = { ...occurrence, stage, text };
  if (stage === 'foreseen')
    return journalTransition(definition, state, { ...change, kind: 'de-escalate', flags, occurrence: moved });
  const anew = { ...moved, acknowledged: null };
  return journalTransition(definition, state, {
    ...change,
    kind: 'escalate',
    flags: nextAlarm(flags, 'REALARM').flags,
    occurrence: anew,
  });
}

function begin(
  definition: AlarmDefinition,
  state: AlarmKeyState,
  stage: AlarmStage,
  { raised, atMs, text }: Present,
): Journaled {
  const last = state.occurrence;
  const onsetMs = earliestOnset(raised, atMs);
  // Where this stage's value came in before the last occurrence ended, the new occurrence begins where that one ended.
  const sinceMs = Math.max(onsetMs, last?.clearedAtMs ?? onsetMs);
  const journaled = last?.sinceMs === sinceMs ? last.journaled : {};
  const occurrence: Occurrence = {
    sinceMs,
    raisedAtMs: atMs,
    clearedAtMs: null,
    stage,
    text,
    acknowledged: null,
    journaled,
  };
  return journalTransition(definition, state, {
    kind: 'raise',
    atMs,
    actor: null,
    flags: nextAlarm(state.flags, 'RAISE').flags,
    occurrence,
  });
}

/** The instants at which the alarm may change, in order; the sample's own among them, even where its value changes nothing. */
function instants(steps: StageSteps, sampleAtMs: number | undefined): readonly number[] {
  if (nothingHappens(steps)) return sampleAtMs === undefined ? [] : [sampleAtMs];
  const all = new Set(
    alarmStages.flatMap((stage) => (steps[stage]?.events ?? []).map((event) => event.atMs)),
  );
  if (sampleAtMs !== undefined) all.add(sampleAtMs);
  return [...all].sort((a, b) => a - b);
}

/** The latest text; an occurrence that has ended keeps the one it ended with. */
function withText(state: AlarmKeyState, text: AlarmText): AlarmKeyState {
  const { occurrence, flags } = state;
  return {
    ...state,
    text,
    occurrence: occurrence !== null && flags.active ? { ...occurrence, text } : occurrence,
  };
}
