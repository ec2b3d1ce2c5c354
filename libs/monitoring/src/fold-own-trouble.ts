import { type AlarmKeyState, alarmView, type AlarmView, initialAlarm, stepAlarm } from '@edge-margin/alarms';
import type { CommandRow } from '@edge-margin/telemetry';
import type { Effect } from './effect.js';
import { isOwnTrouble, type OwnAlarmDefinitions, type OwnTrouble, troubleResponse } from './own-trouble.js';

/** States of the service's own alarms, by trouble; legal state, kept over restarts. */
export type OwnAlarmStates = Readonly<Partial<Record<OwnTrouble, AlarmKeyState>>>;

export type OwnTroubleCommand = Extract<CommandRow['command'], { readonly type: 'report-own-trouble' }>;

/**
 * What a report of the service's own trouble makes of its alarms. A trouble that this version does not know changes nothing.
 * @param arrivedAtMs by the machine's clock, epoch ms; a report from before the last one (the clock was set back) counts as of the last one
 */
export function foldOwnTrouble(
  definitions: OwnAlarmDefinitions,
  states: OwnAlarmStates,
  command: OwnTroubleCommand,
  arrivedAtMs: number,
): { readonly states: OwnAlarmStates; readonly effects: readonly Effect[] } {
  const { trouble, stage, because } = command;
  if (!isOwnTrouble(trouble)) return { states, effects: [] };
  const definition = definitions[trouble];
  const before = states[trouble] ?? initialAlarm;
  const step = stepAlarm(definition, before, {
    kind: 'sample',
    atMs: Math.max(arrivedAtMs, latestMs(before)),
    // A trouble that is reached was foreseen too: it does not fall back to a stage that its definition lacks.
    values: { foreseen: stage === null ? 0 : 1, reached: stage === 'reached' ? 1 : 0 },
    because,
    response: troubleResponse(trouble),
  });
  const effects: Effect[] = step.transitions.map((transition) => ({
    kind: 'alarm-transition',
    id: transition.id,
    transition,
  }));
  const view = alarmView(definition, step.state);
  if (effects.length === 0 && stage !== null && view !== null) effects.push({ kind: 'alarm-view', view });
  return { states: { ...states, [trouble]: step.state }, effects };
}

function latestMs({ conditions }: AlarmKeyState): number {
  return Math.max(0, ...Object.values(conditions).map((condition) => condition.latestMs ?? 0));
}

/** The service's own alarms that are active or not acknowledged. */
export function openOwnAlarms(definitions: OwnAlarmDefinitions, states: OwnAlarmStates): AlarmView[] {
  return Object.values(definitions).flatMap((definition) => {
    const trouble = definition.alarmKey.slice(definition.alarmKey.lastIndexOf('.') + 1) as OwnTrouble;
    const state = states[trouble];
    const view = state === undefined ? null : alarmView(definition, state);
    return view === null || view.state === 'NORM' ? [] : [view];
  });
}
