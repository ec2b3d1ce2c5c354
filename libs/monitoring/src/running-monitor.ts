import { decoderState, type JournalRow, type TopicMemories, topicMemories } from '@edge-margin/telemetry';
import type { Effect } from './effect.js';
import { foldCommand } from './fold-command.js';
import { foldLink } from './fold-link.js';
import { foldMessage } from './fold-message.js';
import { makeModel, type MonitorDependencies, type MonitoringModel, type StationModel } from './model.js';
import { type Fold, type Monitor, plantKey } from './monitor.js';
import { openStation, type OpenStation, stationState } from './open-station.js';
import { initialStation } from './station-state.js';
import { applyTick } from './station-step.js';

/**
 * A monitor that follows the journal row by row and is changed in place: a message then costs what it moves, not what there is to copy.
 * Nobody sees the change: what goes in and what comes out are values.
 */
export interface RunningMonitor {
  /** Folds the next row and tells what it brings about. */
  readonly fold: (row: JournalRow) => readonly Effect[];
  /** The monitor as it stands, a value. Costs as much as there are stations and topics. */
  readonly monitor: () => Monitor;
  readonly model: () => MonitoringModel | undefined;
  /** Keys of the parts whose state has changed since the last call: station keys, and `#plant`. */
  readonly takeTouched: () => readonly string[];
}

/**
 * Folds one journal row. Total: no row throws; what cannot be used becomes a `not-used` effect.
 * The same rows from the same state give bit-equal states and effects.
 */
export function foldRow(monitor: Monitor, row: JournalRow, dependencies: MonitorDependencies): Fold {
  const running = runMonitor(monitor, dependencies);
  const effects = running.fold(row);
  return { monitor: running.monitor(), effects, touched: running.takeTouched() };
}

/** Lets a monitor run from a state on. One row after the other gives what {@link foldRow} gives, bit by bit. */
export function runMonitor(start: Monitor, dependencies: MonitorDependencies): RunningMonitor {
  // What is open holds instead of what stands in `settled`.
  let settled = start;
  let memories: TopicMemories | undefined;
  let stations = new Map<string, OpenStation>();
  let touched = new Set<string>();

  function stationOf(key: string, model: StationModel): OpenStation {
    let station = stations.get(key);
    if (station === undefined) {
      station = openStation(settled.stations[key] ?? initialStation(model.context.station.defaultGrade));
      stations.set(key, station);
    }
    return station;
  }

  function touchedStation(key: string, model: StationModel): OpenStation {
    touched.add(key);
    return stationOf(key, model);
  }

  function foldTick(model: MonitoringModel, clockMs: number): readonly Effect[] {
    const effects: Effect[] = [];
    for (const [key, stationModel] of model.stations) {
      const station = stationOf(key, stationModel);
      if (applyTick(stationModel, station, clockMs, settled.linkDownSinceMs, effects)) touched.add(key);
    }
    return effects;
  }

  /** What comes seldom is folded as values. */
  function adopt(fold: Fold): readonly Effect[] {
    settled = fold.monitor;
    memories = undefined;
    stations = new Map();
    for (const key of fold.touched) touched.add(key);
    return fold.effects;
  }

  function fold(row: JournalRow): readonly Effect[] {
    const { model } = settled;
    switch (row.kind) {
      case 'message': {
        if (model === undefined) return [];
        touched.add(plantKey);
        memories ??= topicMemories(settled.decoder);
        const { linkDownSinceMs } = settled;
        return foldMessage({ model, memories, linkDownSinceMs, station: touchedStation }, row);
      }
      case 'tick':
        return model === undefined ? [] : foldTick(model, row.arrivedAtMs);
      case 'command':
        return adopt(foldCommand(monitor(), row));
      case 'link':
        return adopt(foldLink(monitor(), row));
      case 'config':
        return adopt(withPlantFile(monitor(), row.plantFile, row.revision, dependencies));
    }
  }

  function monitor(): Monitor {
    const decoder = memories === undefined ? settled.decoder : decoderState(memories);
    const open = [...stations].map(([key, station]) => [key, stationState(station)] as const);
    return { ...settled, decoder, stations: { ...settled.stations, ...Object.fromEntries(open) } };
  }

  function takeTouched(): readonly string[] {
    const keys = [...touched];
    touched = new Set();
    return keys;
  }

  return { fold, monitor, model: () => settled.model, takeTouched };
}

function withPlantFile(
  monitor: Monitor,
  plantFile: string,
  revision: string,
  dependencies: MonitorDependencies,
): Fold {
  const model = makeModel(plantFile, revision, dependencies);
  if (model === undefined) return { monitor, effects: [], touched: [] };
  return { monitor: { ...monitor, model, plantFile }, effects: [], touched: [plantKey] };
}
