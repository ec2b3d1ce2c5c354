import type { JournalRow, NewJournalRow } from '@edge-margin/telemetry';
import Database from 'better-sqlite3';
import { cpSync, existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Journal, type JournalOptions, openJournal } from './index.js';

let directory: string;
const opened: Journal[] = [];

beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-journal-'));
});
afterEach(async () => {
  for (const journal of opened.splice(0)) await journal.close();
  rmSync(directory, { recursive: true, force: true });
});

async function open(options: Partial<JournalOptions> = {}): Promise<Journal> {
  const journal = await openJournal({ directory, pauseMs: 0, ...options });
  opened.push(journal);
  return journal;
}

const atMs = 1_764_000_000_000;
const message = (n: number, bytes = 20): NewJournalRow => ({
  kind: 'message',
  arrivedAtMs: atMs + n,
  topic: `plant/north/w${n % 3}/speed`,
  payload: new Uint8Array(bytes).fill(n),
  qos: 1,
  retain: false,
  dup: n % 7 === 0,
});
const segmentNames = (): string[] => readdirSync(directory).filter((name) => name.endsWith('.sqlite'));

/** Appends rows one transaction at a time, so that segments can change in between. */
async function appendEach(journal: Journal, from: number, to: number, bytes?: number): Promise<void> {
  for (let n = from; n <= to; n += 1) await journal.whenDurable(journal.append(message(n, bytes)));
}

describe('appending', () => {
  it('gives positions from 1 at once, in the order of the calls and without gaps', async () => {
    const journal = await open();
    expect([1, 2, 3].map((n) => journal.append(message(n)))).toEqual([1, 2, 3]);
    expect(journal.lastPosition()).toBe(3);
    expect(journal.durable()).toBe(0);
    await journal.flush();
    expect(journal.durable()).toBe(3);
  });

  it('gives back rows of every kind as they were', async () => {
    const journal = await open();
    const rows: NewJournalRow[] = [
      { ...message(1), payload: new Uint8Array() } as NewJournalRow,
      {
        kind: 'message',
        arrivedAtMs: atMs,
        topic: 'füße/旋',
        payload: new Uint8Array([0, 255]),
        qos: 2,
        retain: true,
        dup: true,
      },
      {
        kind: 'command',
        arrivedAtMs: atMs,
        commandId: 'c-1',
        actor: 'Mira',
        command: { type: 'acknowledge-alarm', alarmKey: 'k', occurrenceId: 'o', comment: 'seen\n"' },
      },
      { kind: 'config', arrivedAtMs: atMs, plantFile: 'winders:\n  - id: w1\n', revision: '0123456789ab' },
      { kind: 'link', arrivedAtMs: atMs, link: 'broker', state: 'up', sessionPresent: false },
      { kind: 'link', arrivedAtMs: atMs, link: 'broker', state: 'down', detail: 'ECONNREFUSED' },
      { kind: 'tick', arrivedAtMs: atMs + 1000 },
    ];
    for (const row of rows) journal.append(row);
    await journal.flush();
    expect(journal.read(1, 100)).toEqual(rows.map((row, index) => ({ ...row, position: index + 1 })));
  });

  it('tells listeners each row with its position, in order, before it is durable', async () => {
    const journal = await open();
    const seen: JournalRow[] = [];
    const stop = journal.onAppend((row) => {
      expect(journal.durable()).toBeLessThan(row.position);
      seen.push(row);
    });
    journal.append(message(1));
    journal.append(message(2));
    stop();
    journal.append(message(3));
    expect(seen).toEqual([
      { ...message(1), position: 1 },
      { ...message(2), position: 2 },
    ]);
  });

  it('writes what comes in one turn of the event loop in one transaction', async () => {
    const journal = await open();
    const marks: number[] = [];
    journal.onDurable((position) => marks.push(position));
    for (let n = 1; n <= 500; n += 1) journal.append(message(n));
    await journal.flush();
    expect(marks).toEqual([500]);
  });

  it('counts what is pending until it is on disk', async () => {
    const journal = await open();
    expect(journal.pendingBytes()).toBe(0);
    journal.append(message(1, 5000));
    expect(journal.pendingBytes()).toBeGreaterThan(5000);
    await journal.flush();
    expect(journal.pendingBytes()).toBe(0);
  });

  it('takes more than one batch can hold', async () => {
    const journal = await open();
    for (let n = 1; n <= 40; n += 1) journal.append(message(n, 256 * 1024));
    await journal.flush();
    expect(journal.read(1, 100).map((row) => row.position)).toEqual(
      Array.from({ length: 40 }, (_, i) => i + 1),
    );
    expect(journal.read(40, 1)).toEqual([{ ...message(40, 256 * 1024), position: 40 }]);
  });

  it('refuses a row after closing, a time that is none, and to wait for a position that was not given', async () => {
    const journal = await open();
    expect(() => journal.append({ kind: 'tick', arrivedAtMs: Number.NaN })).toThrow(RangeError);
    await expect(journal.whenDurable(1)).rejects.toThrow(RangeError);
    await journal.close();
    expect(() => journal.append(message(1))).toThrow('closed');
  });

  it('writes what is pending when it is closed', async () => {
    const journal = await open();
    for (let n = 1; n <= 100; n += 1) journal.append(message(n));
    await journal.close();
    expect((await open()).lastPosition()).toBe(100);
  });
});

describe('opening again', () => {
  it('goes on after the last position', async () => {
    const first = await open();
    await appendEach(first, 1, 3);
    await first.close();
    const second = await open();
    expect([second.firstPosition(), second.lastPosition(), second.durable()]).toEqual([1, 3, 3]);
    expect(second.append(message(4))).toBe(4);
    await second.flush();
    expect(second.read(2, 10)).toEqual([2, 3, 4].map((n) => ({ ...message(n), position: n })));
  });

  it('finds every durable row in files that a killed process left open', async () => {
    const live = await open({ segmentMaxBytes: 40_000 });
    await appendEach(live, 1, 60, 2000);
    const copy = mkdtempSync(join(tmpdir(), 'edge-margin-journal-copy-'));
    cpSync(directory, copy, { recursive: true });
    expect(readdirSync(copy).some((name) => name.endsWith('-wal'))).toBe(true);
    const reopened = await openJournal({ directory: copy });
    try {
      expect(reopened.read(1, 100)).toEqual(live.read(1, 100));
      expect(reopened.append(message(61))).toBe(61);
    } finally {
      await reopened.close();
      rmSync(copy, { recursive: true });
    }
  });

  it('takes up a segment that was made but never written to', async () => {
    await (await open()).close();
    writeFileSync(join(directory, 'journal-0000000000000001.sqlite'), '');
    const journal = await open();
    expect(journal.lastPosition()).toBe(0);
    await appendEach(journal, 1, 1);
    expect(journal.read(1, 1)).toHaveLength(1);
  });

  it('clears away what a disposal that was cut short left behind', async () => {
    const orphan = join(directory, 'journal-0000000000000001.sqlite-wal');
    writeFileSync(orphan, 'x');
    await open();
    expect(existsSync(orphan)).toBe(false);
  });
});

describe('segments', () => {
  it('begin anew when one has grown to its size, and are read across', async () => {
    const journal = await open({ segmentMaxBytes: 60_000 });
    await appendEach(journal, 1, 100, 2000);
    const segments = journal.segments();
    expect(segments.length).toBeGreaterThan(2);
    expect(segmentNames()).toEqual(
      segments.map(({ first }) => `journal-${String(first).padStart(16, '0')}.sqlite`),
    );
    for (const [index, { first }] of segments.entries())
      expect(first).toBe((segments[index - 1]?.last ?? 0) + 1);
    expect(journal.read(1, 1000)).toEqual(
      Array.from({ length: 100 }, (_, i) => ({ ...message(i + 1, 2000), position: i + 1 })),
    );
    expect(journal.read(30, 40).map((row) => row.position)).toEqual(
      Array.from({ length: 40 }, (_, i) => i + 30),
    );
  });

  it('begin anew when the first row has reached the age', async () => {
    const journal = await open({ segmentMaxAgeMs: 1000 });
    for (const after of [0, 999, 1000, 1500, 2100])
      await journal.whenDurable(journal.append({ kind: 'tick', arrivedAtMs: atMs + after }));
    expect(journal.segments().map(({ first, last }) => [first, last])).toEqual([
      [1, 2],
      [3, 4],
      [5, 5],
    ]);
  });

  it('are single files once closed', async () => {
    const journal = await open({ segmentMaxBytes: 1 });
    await appendEach(journal, 1, 3);
    const companions = readdirSync(directory).filter((name) => !name.endsWith('.sqlite'));
    expect(companions.every((name) => name.startsWith('journal-0000000000000003'))).toBe(true);
  });

  it('are disposed of only where they lie wholly before both the position and the time', async () => {
    const journal = await open({ segmentMaxBytes: 1 });
    await appendEach(journal, 1, 5);
    expect(await journal.disposeBefore(3, atMs + 1000)).toBe(2);
    expect(await journal.disposeBefore(100, atMs + 4)).toBe(1);
    expect(journal.firstPosition()).toBe(4);
    expect(segmentNames()).toHaveLength(2);
    expect(journal.read(4, 10)).toHaveLength(2);
    expect(() => journal.read(3, 1)).toThrow(RangeError);
    await journal.close();
    expect((await open()).firstPosition()).toBe(4);
  });

  it('keep the newest, however old it is', async () => {
    const journal = await open();
    await appendEach(journal, 1, 5);
    expect(await journal.disposeBefore(1_000_000, Number.MAX_SAFE_INTEGER)).toBe(0);
  });
});

describe('reading', () => {
  it('gives nothing ahead of what is durable', async () => {
    const journal = await open();
    expect(journal.read(1, 10)).toEqual([]);
    journal.append(message(1));
    expect(journal.read(1, 10)).toEqual([]);
    await journal.flush();
    expect(journal.read(2, 10)).toEqual([]);
  });

  it('notices a position that is missing inside a file', async () => {
    const journal = await open();
    await appendEach(journal, 1, 5);
    await journal.close();
    tamper(1, 'DELETE FROM row WHERE position = 3');
    // The last segment is counted on opening; one more segment behind it moves the damage to where only reading finds it.
    tamper(6, `INSERT INTO row VALUES (6, 5, ${atMs}, 0, NULL, NULL, NULL)`);
    const again = await open();
    expect(() => again.read(1, 10)).toThrow(
      expect.objectContaining({ name: 'JournalError', code: 'corrupt' }),
    );
    expect(again.read(4, 10)).toHaveLength(3);
  });
});

describe('a damaged journal', () => {
  const corrupt = expect.objectContaining({ name: 'JournalError', code: 'corrupt' });

  async function threeSegments(): Promise<void> {
    const journal = await open({ segmentMaxBytes: 1 });
    await appendEach(journal, 1, 3);
    await journal.close();
  }

  it('is refused where a segment is missing', async () => {
    await threeSegments();
    rmSync(join(directory, 'journal-0000000000000002.sqlite'));
    await expect(open()).rejects.toThrow(corrupt);
    await expect(open()).rejects.toThrow('positions 2 to 2 are missing');
  });

  it('is refused where positions overlap', async () => {
    await threeSegments();
    tamper(1, 'INSERT INTO row SELECT 2, kind, arrived_at_ms, flags, topic, payload, json FROM row');
    await expect(open()).rejects.toThrow('positions 2 to 2 are there twice');
  });

  it('is refused where the last segment has a hole', async () => {
    const journal = await open();
    await appendEach(journal, 1, 5);
    await journal.close();
    tamper(1, 'DELETE FROM row WHERE position = 3');
    await expect(open()).rejects.toThrow(corrupt);
  });

  it('is refused where a file is no database', async () => {
    writeFileSync(join(directory, 'journal-0000000000000001.sqlite'), 'x'.repeat(8192));
    await expect(open()).rejects.toThrow(corrupt);
  });

  it('is refused where a later version wrote it', async () => {
    await threeSegments();
    tamper(3, 'PRAGMA user_version = 2');
    await expect(open()).rejects.toThrow('later version');
  });
});

function tamper(first: number, sql: string): void {
  const database = new Database(join(directory, `journal-${String(first).padStart(16, '0')}.sqlite`));
  if (first === 6) {
    database.exec(
      'CREATE TABLE row (position INTEGER PRIMARY KEY, kind, arrived_at_ms, flags, topic, payload, json); PRAGMA user_version = 1',
    );
  }
  database.exec(sql);
  database.close();
}
