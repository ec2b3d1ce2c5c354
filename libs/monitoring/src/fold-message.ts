import {
  decodeMessage,
  type LostMessages,
  type MessageRow,
  type Reading,
  type TopicMemories,
} from '@edge-margin/telemetry';
import { reason } from '@edge-margin/units';
import type { Effect } from './effect.js';
import type { MonitoringModel, StationModel } from './model.js';
import type { OpenStation } from './open-station.js';
import { applyReadings } from './station-step.js';

/** What a message may change, in place. */
export interface MessageScope {
  readonly model: MonitoringModel;
  readonly memories: TopicMemories;
  readonly linkDownSinceMs: number | null;
  /** The station, marked as touched. */
  readonly station: (key: string, model: StationModel) => OpenStation;
}

/** One message: its readings applied to their stations, and what cannot be used told. */
export function foldMessage(scope: MessageScope, row: MessageRow): readonly Effect[] {
  const { linkDownSinceMs, memories, model } = scope;
  const decoded = decodeMessage(memories, row, model.sources);
  const effects: Effect[] = [];
  for (const notUsed of decoded.notUsed) effects.push({ kind: 'not-used', notUsed });
  for (const lost of decoded.lost) effects.push(lostMessages(lost));
  for (const [key, readings] of byStation(decoded.readings)) {
    const stationModel = model.stations.get(key);
    if (stationModel === undefined) continue;
    applyReadings(stationModel, scope.station(key, stationModel), readings, linkDownSinceMs, effects);
  }
  return effects;
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
