import { alarmView, type AlarmView, initialAlarm, stepAlarm } from '@edge-margin/alarms';
import {
  type CommandRow,
  decode,
  type DecoderState,
  initialDecoderState,
  type JournalRow,
  type LinkRow,
  type LostMessages,
  type MessageRow,
  type Reading,
} from '@edge-margin/telemetry';
import { reason } from '@edge-margin/units';
import type { CommandAnswer, Effect } from './effect.js';
import { makeModel, type MonitorDependencies, type MonitoringModel, type StationModel } from './model.js';
import { initialStation, type StationState } from './station-state.js';
import { applyReadings, applyTick } from './station-step.js';

/** The whole state of the monitoring after some journal rows, with the model of the plant file that holds. */
export interface Monitor {
  readonly model: MonitoringModel | undefined;
  readonly plantFile: string | undefined;
  readonly decoder: DecoderState;
  /** Since when the broker link is down; null while it is up. It counts as down until it first came up. */
  readonly linkDownSinceMs: number | null;
  readonly stations: Readonly<Record<string, StationState>>;
}

export interface Fold {
  readonly monitor: Monitor;
  readonly effects: readonly Effect[];
  /** Keys of the parts whose state changed: station keys, and `#plant`. */
  readonly touched: readonly string[];
}

/** Key under which everything that belongs to no station is saved. */
const plantKey = '#plant';

const emptyMonitor: Monitor = {
  model: undefined,
  plantFile: undefined,
  decoder: initialDecoderState,
  linkDownSinceMs: null,
  stations: {},
};

/**
 * Folds one journal row. Total: no row throws; what cannot be used becomes a `not-used` effect.
 * The same rows from the same state give bit-equal states and effects.
 */
export function foldRow(monitor: Monitor, row: JournalRow, dependencies: MonitorDependencies): Fold {
  switch (row.kind) {
    case 'message':
      return foldMessage(monitor, row);
    case 'tick':
      return foldTick(monitor, row.arrivedAtMs);
    case 'command':
      return foldCommand(monitor, row);
    case 'link':
      return foldLink(monitor, row);
    case 'config': {
      const model = makeModel(row.plantFile, row.revision, dependencies);
      if (model === undefined) return unchanged(monitor);
      return { monitor: { ...monitor, model, plantFile: row.plantFile }, effects: [], touched: [plantKey] };
    }
  }
}

function unchanged(monitor: Monitor): Fold {
  return { monitor, effects: [], touched: [] };
}

function foldMessage(monitor: Monitor, row: MessageRow): Fold {
  if (monitor.model === undefined) return unchanged(monitor);
  const decoded = decode(monitor.decoder, row, monitor.model.sources);
  const effects: Effect[] = decoded.notUsed.map((notUsed) => ({ kind: 'not-used', notUsed }));
  for (const lost of decoded.lost) effects.push(lostMessages(lost));
  const touched: string[] = [plantKey];
  let { stations } = monitor;
  for (const [key, readings] of byStation(decoded.readings)) {
    const model = monitor.model.stations.get(key);
    if (model === undefined) continue;
    const step = applyReadings(model, stationOf(stations, key, model), readings, monitor.linkDownSinceMs);
    stations = { ...stations, [key]: step.state };
    effects.push(...step.effects);
    touched.push(key);
  }
  return { monitor: { ...monitor, decoder: decoded.state, stations }, effects, touched };
}

function byStation(readings: readonly Reading[]): Iterable<readonly [string, readonly Reading[]]> {
  const first = readings[0];
  if (first === undefined) return [];
  if (readings.every((reading) => reading.stationKey === first.stationKey))
    return [[first.stationKey, readings]];
  const groups = new Map<string, Reading[]>();
  for (const reading of readings) {
    const group = groups.get(reading.stationKey);
    if (group === undefined) groups.set(reading.stationKey, [reading]);
    else group.push(reading);
  }
  return groups;
}

function stationOf(stations: Monitor['stations'], key: string, model: StationModel): StationState {
  return stations[key] ?? initialStation(model.context.station.defaultGrade);
}

function lostMessages(lost: LostMessages): Effect {
  const { topic, expected, got, count, arrivedAtMs } = lost;
  return {
    kind: 'gap',
    id: `messages:${topic}@${arrivedAtMs}:${expected}-${got}`,
    gap: {
      what: 'messages',
      fromMs: arrivedAtMs,
      toMs: arrivedAtMs,
      count,
      because: reason(
        'messages-lost',
        `${count} messages of ${topic} never came: number ${got} followed where ${expected} was due`,
        { topic, expected, got, count },
      ),
    },
  };
}

function foldTick(monitor: Monitor, clockMs: number): Fold {
  if (monitor.model === undefined) return unchanged(monitor);
  const stations: Record<string, StationState> = { ...monitor.stations };
  const effects: Effect[] = [];
  const touched: string[] = [];
  for (const [key, model] of monitor.model.stations) {
    const before = stationOf(stations, key, model);
    const step = applyTick(model, before, clockMs, monitor.linkDownSinceMs);
    if (step.state === before) continue;
    stations[key] = step.state;
    effects.push(...step.effects);
    touched.push(key);
  }
  return touched.length === 0 ? unchanged(monitor) : { monitor: { ...monitor, stations }, effects, touched };
}

function foldLink(monitor: Monitor, row: LinkRow): Fold {
  const effects: Effect[] = [];
  if (row.state === 'up' && row.sessionPresent === false && monitor.linkDownSinceMs !== null) {
    effects.push({
      kind: 'gap',
      id: `session@${row.arrivedAtMs}`,
      gap: {
        what: 'messages',
        fromMs: monitor.linkDownSinceMs,
        toMs: row.arrivedAtMs,
        count: null,
        because: reason(
          'session-lost',
          'the broker had not kept our session: what was sent while the link was down did not come',
          {},
        ),
      },
    });
  }
  const linkDownSinceMs = row.state === 'up' ? null : (monitor.linkDownSinceMs ?? row.arrivedAtMs);
  return { monitor: { ...monitor, linkDownSinceMs }, effects, touched: [plantKey] };
}

function foldCommand(monitor: Monitor, row: CommandRow): Fold {
  const { command, commandId } = row;
  const answer = (value: CommandAnswer): Effect => ({ kind: 'command-answer', commandId, answer: value });
  const found = findAlarm(monitor, command.alarmKey);
  if (found === undefined) {
    const because = reason('no-such-alarm', `alarm ${command.alarmKey} is not known`, {
      alarmKey: command.alarmKey,
    });
    return { monitor, effects: [answer({ ok: false, failure: 'not-found', because })], touched: [] };
  }
  const { definition, key, state } = found;
  const step = stepAlarm(definition, state.alarms[definition.alarmKey] ?? initialAlarm, {
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
  const station: StationState = { ...state, alarms: { ...state.alarms, [definition.alarmKey]: step.state } };
  return {
    monitor: { ...monitor, stations: { ...monitor.stations, [key]: station } },
    effects,
    touched: [key],
  };
}

function findAlarm(
  monitor: Monitor,
  alarmKey: string,
): { definition: StationModel['alarms']['air']; key: string; state: StationState } | undefined {
  for (const [key, model] of monitor.model?.stations ?? []) {
    const definition = Object.values(model.alarms).find((candidate) => candidate.alarmKey === alarmKey);
    if (definition !== undefined) return { definition, key, state: stationOf(monitor.stations, key, model) };
  }
  return undefined;
}

/** Every alarm that is active or not acknowledged: what a restarted service shows before the first new row. */
export function openAlarms(monitor: Monitor): AlarmView[] {
  const views: AlarmView[] = [];
  for (const [key, model] of monitor.model?.stations ?? []) {
    const alarms = monitor.stations[key]?.alarms ?? {};
    for (const definition of Object.values(model.alarms)) {
      const state = alarms[definition.alarmKey];
      const view = state === undefined ? null : alarmView(definition, state);
      if (view !== null && view.state !== 'NORM') views.push(view);
    }
  }
  return views;
}

interface SavedPlant {
  readonly version: 1;
  readonly plantFile: string | null;
  readonly configurationRevision: string | null;
  readonly decoder: DecoderState;
  readonly linkDownSinceMs: number | null;
}

/** The parts with these keys as text (JSON), each by its key. */
export function savedStates(
  monitor: Monitor,
  keys: Iterable<string>,
): { stationKey: string; json: string }[] {
  return [...keys].flatMap((key) => {
    const part = key === plantKey ? savedPlant(monitor) : monitor.stations[key];
    return part === undefined ? [] : [{ stationKey: key, json: JSON.stringify(part) }];
  });
}

function savedPlant(monitor: Monitor): SavedPlant {
  return {
    version: 1,
    plantFile: monitor.plantFile ?? null,
    configurationRevision: monitor.model?.configurationRevision ?? null,
    decoder: monitor.decoder,
    linkDownSinceMs: monitor.linkDownSinceMs,
  };
}

/** The monitor from what {@link savedStates} gave; empty where nothing was saved. */
export function restoreMonitor(
  saved: ReadonlyMap<string, string>,
  dependencies: MonitorDependencies,
): Monitor {
  const plantJson = saved.get(plantKey);
  if (plantJson === undefined) return emptyMonitor;
  const plant = JSON.parse(plantJson) as SavedPlant;
  const stations = Object.fromEntries(
    [...saved]
      .filter(([key]) => key !== plantKey)
      .map(([key, json]) => [key, JSON.parse(json) as StationState]),
  );
  return {
    model:
      plant.plantFile === null
        ? undefined
        : makeModel(plant.plantFile, plant.configurationRevision ?? '', dependencies),
    plantFile: plant.plantFile ?? undefined,
    decoder: plant.decoder,
    linkDownSinceMs: plant.linkDownSinceMs,
    stations,
  };
}
