import type { Connection } from './connection.js';

/** Up to where samples (level 0) and windows (their level) of each series have been let go for good. */
export interface LetGo {
  /** Epoch ms; -Infinity where nothing was let go. */
  readonly beforeMs: (seriesNumber: number, level: number) => number;
  readonly note: (seriesNumber: number, level: number, beforeMs: number) => void;
}

/** What was let go, on the open connection; kept in memory, as every window asks for it. */
export function createLetGo(connection: Connection): LetGo {
  const known = new Map<string, number>();
  const read = (): void => {
    known.clear();
    const rows = connection.prepare('SELECT series_id, resolution, before_ms FROM let_go').raw().all();
    for (const [series, level, beforeMs] of rows as [number, number, number][])
      known.set(`${series} ${level}`, beforeMs);
  };
  read();
  connection.onRollback(read);
  const write = connection.prepare(
    'INSERT OR REPLACE INTO let_go (series_id, resolution, before_ms) VALUES (?, ?, ?)',
  );
  const beforeMs = (seriesNumber: number, level: number): number =>
    known.get(`${seriesNumber} ${level}`) ?? -Infinity;
  return {
    beforeMs,
    note: (seriesNumber, level, cutMs) => {
      if (cutMs <= beforeMs(seriesNumber, level)) return;
      write.run(seriesNumber, level, cutMs);
      known.set(`${seriesNumber} ${level}`, cutMs);
    },
  };
}
