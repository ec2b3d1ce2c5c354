import type { AlarmDefinition } from '@edge-margin/alarms';
import { type PlantFile, readPlant, type StationContext, stationIndex } from '@edge-margin/plant';
import { type CompiledSources, compileSources, type TextDecode } from '@edge-margin/telemetry';
import { type MappedSignal, mappedSignals } from './mapped-signals.js';
import { type OwnAlarmDefinitions, ownAlarmDefinitions } from './own-trouble.js';
import { alarmDefinitions, type StationAlarmName } from './station-alarms.js';

/** Revision of the formulas and rules behind an assessment. Counted up whenever the same rows would give other results. */
export const modelRevision = '2';

/** What a plant file makes of the monitoring: derived from its text, never stored. */
export interface MonitoringModel {
  readonly plant: PlantFile;
  readonly configurationRevision: string;
  readonly sources: CompiledSources;
  readonly stations: ReadonlyMap<string, StationModel>;
  /** Alarms of the service itself. */
  readonly ownAlarms: OwnAlarmDefinitions;
}

export interface StationModel {
  readonly context: StationContext;
  readonly mapped: ReadonlyMap<string, MappedSignal>;
  readonly alarms: Readonly<Record<StationAlarmName, AlarmDefinition>>;
  readonly display: PlantFile['display'];
  readonly configurationRevision: string;
}

/** What the pure code is handed from outside. */
export interface MonitorDependencies {
  /** Strict UTF-8: throws on bytes that are none. */
  readonly textDecoder: TextDecode;
}

/** The model of a plant file, or undefined where the text is not one (whoever appends the row has checked it). */
export function makeModel(
  plantFile: string,
  configurationRevision: string,
  dependencies: MonitorDependencies,
): MonitoringModel | undefined {
  const read = readPlant(plantFile);
  if (!read.ok) return undefined;
  const { plant } = read;
  const stations = new Map<string, StationModel>();
  for (const [key, context] of stationIndex(plant)) {
    stations.set(key, {
      context,
      mapped: mappedSignals(plant, context),
      alarms: alarmDefinitions(context, { modelRevision, configurationRevision }),
      display: plant.display,
      configurationRevision,
    });
  }
  const ownAlarms = ownAlarmDefinitions(plant.site.id, { modelRevision, configurationRevision });
  return { plant, configurationRevision, sources: compileSources(plant, dependencies), stations, ownAlarms };
}
