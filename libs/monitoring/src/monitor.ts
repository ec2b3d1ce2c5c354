import { type AlarmKeyState, alarmView, type AlarmView, initialAlarm } from '@edge-margin/alarms';
import { type DecoderState, initialDecoderState } from '@edge-margin/telemetry';
import type { Effect } from './effect.js';
import { openOwnAlarms, type OwnAlarmStates } from './fold-own-trouble.js';
import { makeModel, type MonitorDependencies, type MonitoringModel } from './model.js';
import { type OwnTrouble, ownTroubles } from './own-trouble.js';
import type { StationState } from './station-state.js';
import { nothingReported, type TroubleWatch } from './trouble-watch.js';

/** The whole state of the monitoring after some journal rows, with the model of the plant file that holds. */
export interface Monitor {
  readonly model: MonitoringModel | undefined;
  readonly plantFile: string | undefined;
  readonly decoder: DecoderState;
  /** Since when the broker link is down; null while it is up. It counts as down until it first came up. */
  readonly linkDownSinceMs: number | null;
  readonly stations: Readonly<Record<string, StationState>>;
  /** Alarms of the service itself. */
  readonly ownAlarms: OwnAlarmStates;
}

export interface Fold {
  readonly monitor: Monitor;
  readonly effects: readonly Effect[];
  /** Keys of the parts whose state changed: station keys, and `#plant`. */
  readonly touched: readonly string[];
}

/** Key under which everything that belongs to no station is saved. */
export const plantKey = '#plant';

const emptyMonitor: Monitor = {
  model: undefined,
  plantFile: undefined,
  decoder: initialDecoderState,
  linkDownSinceMs: null,
  stations: {},
  ownAlarms: {},
};

/** What was last reported of each trouble of the service itself: where a restarted shell goes on. */
export function reportedTroubles(monitor: Monitor): ReadonlyMap<OwnTrouble, TroubleWatch> {
  return new Map(ownTroubles.map((trouble) => [trouble, reportedOf(monitor.ownAlarms[trouble])]));
}

function reportedOf(alarm: AlarmKeyState | undefined): TroubleWatch {
  const { flags, occurrence } = alarm ?? initialAlarm;
  return flags.active && occurrence !== null
    ? { reported: occurrence.stage, code: occurrence.text.because.code, seen: null }
    : nothingReported;
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
  if (monitor.model !== undefined) views.push(...openOwnAlarms(monitor.model.ownAlarms, monitor.ownAlarms));
  return views;
}

interface SavedPlant {
  readonly version: 1;
  readonly plantFile: string | null;
  readonly configurationRevision: string | null;
  readonly decoder: DecoderState;
  readonly linkDownSinceMs: number | null;
  /** Left out where none was ever raised. */
  readonly ownAlarms?: OwnAlarmStates;
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
    ...(Object.keys(monitor.ownAlarms).length === 0 ? {} : { ownAlarms: monitor.ownAlarms }),
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
    ownAlarms: plant.ownAlarms ?? {},
  };
}
