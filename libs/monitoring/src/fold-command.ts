import {
  type AlarmDefinition,
  type AlarmKeyState,
  alarmView,
  initialAlarm,
  stepAlarm,
} from '@edge-margin/alarms';
import type { CommandRow } from '@edge-margin/telemetry';
import { reason } from '@edge-margin/units';
import type { CommandAnswer, Effect } from './effect.js';
import { foldOwnTrouble, type OwnTroubleCommand } from './fold-own-trouble.js';
import { type Fold, type Monitor, plantKey } from './monitor.js';
import { isOwnTrouble, ownTroubles } from './own-trouble.js';
import { initialStation } from './station-state.js';

/** A command that was asked for, with the answer to it. */
export function foldCommand(monitor: Monitor, row: CommandRow): Fold {
  const { command, commandId } = row;
  if (command.type === 'report-own-trouble') return foldOwnReport(monitor, command, row.arrivedAtMs);
  const answer = (value: CommandAnswer): Effect => ({ kind: 'command-answer', commandId, answer: value });
  const found = findAlarm(monitor, command.alarmKey);
  if (found === undefined) {
    const because = reason('no-such-alarm', `alarm ${command.alarmKey} is not known`, {
      alarmKey: command.alarmKey,
    });
    return { monitor, effects: [answer({ ok: false, failure: 'not-found', because })], touched: [] };
  }
  const { definition, key, alarm, keep } = found;
  const step = stepAlarm(definition, alarm ?? initialAlarm, {
    kind: 'acknowledge',
    atMs: row.arrivedAtMs,
    occurrenceId: command.occurrenceId,
    actor: row.actor,
    comment: command.comment ?? null,
  });
  const effects: Effect[] = step.transitions.map((transition) => ({
    kind: 'alarm-transition',
    id: transition.id,
    transition,
  }));
  const view = alarmView(definition, step.state);
  effects.push(
    step.refused === null && view !== null
      ? answer({ ok: true, alarm: view })
      : answer({
          ok: false,
          failure: 'conflict',
          because: step.refused ?? reason('no-occurrence', 'this alarm has had no occurrence', {}),
        }),
  );
  return { monitor: keep(step.state), effects, touched: [key] };
}

interface FoundAlarm {
  readonly definition: AlarmDefinition;
  readonly alarm: AlarmKeyState | undefined;
  /** Key of the part that holds it. */
  readonly key: string;
  /** The monitor with another state of this alarm. */
  readonly keep: (alarm: AlarmKeyState) => Monitor;
}

function findAlarm(monitor: Monitor, alarmKey: string): FoundAlarm | undefined {
  for (const [key, model] of monitor.model?.stations ?? []) {
    const definition = Object.values(model.alarms).find((candidate) => candidate.alarmKey === alarmKey);
    if (definition === undefined) continue;
    const state = monitor.stations[key] ?? initialStation(model.context.station.defaultGrade);
    const keep = (alarm: AlarmKeyState): Monitor => {
      const station = { ...state, alarms: { ...state.alarms, [alarmKey]: alarm } };
      return { ...monitor, stations: { ...monitor.stations, [key]: station } };
    };
    return { definition, alarm: state.alarms[alarmKey], key, keep };
  }
  return findOwnAlarm(monitor, alarmKey);
}

function findOwnAlarm(monitor: Monitor, alarmKey: string): FoundAlarm | undefined {
  const trouble = ownTroubles.find((name) => monitor.model?.ownAlarms[name].alarmKey === alarmKey);
  const definition = trouble === undefined ? undefined : monitor.model?.ownAlarms[trouble];
  if (trouble === undefined || definition === undefined) return undefined;
  const keep = (alarm: AlarmKeyState): Monitor => ({
    ...monitor,
    ownAlarms: { ...monitor.ownAlarms, [trouble]: alarm },
  });
  return { definition, alarm: monitor.ownAlarms[trouble], key: plantKey, keep };
}

function foldOwnReport(monitor: Monitor, command: OwnTroubleCommand, arrivedAtMs: number): Fold {
  if (monitor.model === undefined || !isOwnTrouble(command.trouble))
    return { monitor, effects: [], touched: [] };
  const { states, effects } = foldOwnTrouble(
    monitor.model.ownAlarms,
    monitor.ownAlarms,
    command,
    arrivedAtMs,
  );
  return { monitor: { ...monitor, ownAlarms: states }, effects, touched: [plantKey] };
}
