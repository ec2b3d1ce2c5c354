import type { JournalRow } from '@edge-margin/telemetry';
import { describe, expect, it } from 'vitest';
import { lastSeen } from './last-seen.js';

const tick = { kind: 'tick' } as const;
const config = { kind: 'config', plantFile: '', revision: '' } as const;
const down = { kind: 'link', link: 'broker', state: 'down' } as const;

/** A journal that ends with these rows, one a second. */
function journalOf(
  rows: readonly (typeof tick | typeof config | typeof down)[],
): Parameters<typeof lastSeen>[0] {
  const all = rows.map((row, index): JournalRow => ({
    ...row,
    position: index + 1,
    arrivedAtMs: index * 1000,
  }));
  return {
    durable: () => all.length,
    firstPosition: () => 1,
    read: (from, limit) => all.slice(from - 1, from - 1 + limit),
  };
}

describe('the last sign of life in a journal', () => {
  it('is the last row that tells of a running service, not the plant file of this start', () => {
    expect(lastSeen(journalOf([tick, tick, config]))).toEqual({ atMs: 1000, saidGoodbye: false });
  });

  it('tells whether the connection was ended in good order', () => {
    expect(lastSeen(journalOf([tick, down, config]))).toEqual({ atMs: 1000, saidGoodbye: true });
  });

  it('is none in a journal that has just begun', () => {
    expect(lastSeen(journalOf([]))).toBeUndefined();
    expect(lastSeen(journalOf([config]))).toBeUndefined();
  });
});
