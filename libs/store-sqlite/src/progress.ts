import type { Connection } from './connection.js';
import { records } from './record-tables.js';
import type { StationStateRow, StoreBatch } from './store-batch.js';

/** How far the journal has been folded, and the state reached there. */
export interface Progress {
  readonly position: () => number;
  readonly decoderState: () => string | null;
  readonly states: () => ReadonlyMap<string, string>;
  /** Within the transaction that holds the effects. */
  readonly advance: (batch: Pick<StoreBatch, 'position' | 'decoderState' | 'stationStates'>) => void;
  /** Stays behind while another process reads from the file. */
  readonly durablePosition: () => number;
}

/** The progress on the open connection. */
export function createProgress(connection: Connection): Progress {
  const position = connection.prepare('SELECT position FROM progress').pluck();
  const decoderState = connection.prepare('SELECT decoder_state FROM progress').pluck();
  const setPosition = connection.prepare('UPDATE progress SET position = ?');
  const setDecoderState = connection.prepare('UPDATE progress SET decoder_state = ?');
  const setState = connection.prepare(
    'INSERT OR REPLACE INTO station_state (station_key, json) VALUES (?, ?)',
  );
  const readPosition = (): number => connection.guard(() => position.get() as number);
  let onDisk = 0;
  return {
    position: readPosition,
    decoderState: () => connection.guard(() => decoderState.get() as string | null),
    states: () => {
      const rows: readonly StationStateRow[] = connection
        .all(records.selectFrom('station_state').selectAll().orderBy('station_key').compile())
        .map((row) => ({ stationKey: row.station_key, json: row.json }));
      return new Map(rows.map(({ stationKey, json }) => [stationKey, json]));
    },
    advance: (batch) => {
      setPosition.run(batch.position);
      if (batch.decoderState !== undefined) setDecoderState.run(batch.decoderState);
      for (const { stationKey, json } of batch.stationStates ?? []) setState.run(stationKey, json);
    },
    durablePosition: () => {
      const reached = readPosition();
      // A checkpoint syncs the write-ahead log before it copies from it; with nothing left to copy, everything is on the disk.
      const { busy, log, checkpointed } = connection.pragmaRow('wal_checkpoint(PASSIVE)');
      if (busy === 0 && log === checkpointed) onDisk = reached;
      return onDisk;
    },
  };
}
