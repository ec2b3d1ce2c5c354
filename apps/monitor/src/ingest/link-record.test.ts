import type { NewJournalRow } from '@edge-margin/telemetry';
import { describe, expect, it } from 'vitest';
import { type LinkRecord, recordLink } from './link-record.js';

/** A record on a journal that holds these rows already. */
function recordOn(before: readonly NewJournalRow[]) {
  const rows: NewJournalRow[] = [...before];
  const told: string[] = [];
  let isLeaving = false;
  const record: LinkRecord = recordLink({
    journal: {
      append: (row) => rows.push(row),
      durable: () => rows.length,
      firstPosition: () => 1,
      read: (from, limit) =>
        rows.slice(from - 1, from - 1 + limit).map((row, index) => ({ ...row, position: from + index })),
    },
    log: {
      info: (_fields, text) => told.push(`info: ${text}`),
      warn: (_fields, text) => told.push(`warn: ${text}`),
    },
    startedAtMs: 9000,
    isLeaving: () => isLeaving,
  });
  return { record, rows, told, leave: () => (isLeaving = true) };
}

const tick: NewJournalRow = { kind: 'tick', arrivedAtMs: 5000 };
const goodbye: NewJournalRow = {
  kind: 'link',
  arrivedAtMs: 5000,
  link: 'broker',
  state: 'down',
  detail: 'stopped',
};

describe('the record of the link', () => {
  it('has a row and a line in the log for each change, and none for what is said again', () => {
    const { record, rows, told } = recordOn([]);
    expect(record.follow({ kind: 'up', atMs: 10_000, sessionPresent: true })).toBe(true);
    expect(record.follow({ kind: 'down', atMs: 11_000, detail: 'gone' })).toBe(true);
    expect(record.follow({ kind: 'down', atMs: 12_000, detail: 'gone' })).toBe(false);
    expect(rows).toMatchObject([
      { kind: 'link', state: 'up', sessionPresent: true },
      { kind: 'link', state: 'down', detail: 'gone', arrivedAtMs: 11_000 },
    ]);
    expect(told).toEqual(['info: connected to the broker', 'warn: no connection to the broker']);
  });

  it('does not warn of an end that we bring about ourselves', () => {
    const { record, told, leave } = recordOn([]);
    record.follow({ kind: 'up', atMs: 10_000, sessionPresent: true });
    leave();
    record.follow({ kind: 'down', atMs: 11_000, detail: 'stopped', cause: 'stopped' });
    expect(told.at(-1)).toBe('info: disconnected from the broker');
  });

  it('adds the end of a connection that a killed process could not record, at its last sign of life', () => {
    const { record, rows } = recordOn([tick]);
    record.takeUp();
    expect(record.wasUpBefore()).toBe(true);
    expect(record.link()).toMatchObject({ state: 'down', sinceMs: 5000 });
    expect(rows.at(-1)).toMatchObject({
      state: 'down',
      detail: 'the service ended without saying so',
      arrivedAtMs: 5000,
    });
  });

  it('adds nothing behind a process that said goodbye, nor on a new journal', () => {
    const ended = recordOn([goodbye]);
    ended.record.takeUp();
    expect(ended.rows).toHaveLength(1);
    expect(ended.record.wasUpBefore()).toBe(true);
    const first = recordOn([]);
    first.record.takeUp();
    expect(first.rows).toEqual([]);
    expect(first.record.wasUpBefore()).toBe(false);
  });
});
