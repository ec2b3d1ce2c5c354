import type { RollRecord } from '@edge-margin/roll-geometry';
import type { Connection } from './connection.js';
import { records } from './record-tables.js';

export interface RollQuery {
  readonly winderId?: string;
  readonly stationId?: string;
  /** Rolls that were being wound at some time within `[fromMs, toMs)`; open where left out. */
  readonly fromMs?: number;
  readonly toMs?: number;
  readonly limit: number;
}

export interface RollRecords {
  /** Writes rolls; a later record of the same roll replaces the earlier one. */
  readonly record: (rolls: readonly RollRecord[]) => void;
  /** Newest start first. */
  readonly query: (query: RollQuery) => readonly RollRecord[];
}

/** The rolls on the open connection. A record is kept whole, fields added later included. */
export function createRollRecords(connection: Connection): RollRecords {
  const insert = connection.prepare(
    'INSERT OR REPLACE INTO roll (winder_id, station_id, roll_id, started_at_ms, ended_at_ms, json) VALUES (?, ?, ?, ?, ?, ?)',
  );
  return {
    record: (rolls) =>
      connection.transaction(() => {
        for (const roll of rolls) {
          insert.run(
            roll.winderId,
            roll.stationId,
            roll.rollId,
            roll.startedAtMs,
            roll.endedAtMs,
            JSON.stringify(roll),
          );
        }
      }),
    query: ({ winderId, stationId, fromMs, toMs, limit }) => {
      let query = records
        .selectFrom('roll')
        .select('json')
        .orderBy('started_at_ms', 'desc')
        .orderBy('roll_id', 'desc')
        .limit(limit);
      if (winderId !== undefined) query = query.where('winder_id', '=', winderId);
      if (stationId !== undefined) query = query.where('station_id', '=', stationId);
      if (toMs !== undefined) query = query.where('started_at_ms', '<', toMs);
      if (fromMs !== undefined) {
        query = query.where((is) => is.or([is('ended_at_ms', 'is', null), is('ended_at_ms', '>=', fromMs)]));
      }
      return connection.all(query.compile()).map(({ json }) => JSON.parse(json) as RollRecord);
    },
  };
}
