import type { NewJournalRow } from '@edge-margin/telemetry';
import Database from 'better-sqlite3';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { openJournalWith } from './journal.js';
import type { JournalError } from './journal-error.js';
import { createSegmentWriter, type WriteReply, type WriteRequest } from './segment-writer.mjs';
import { startWriterThread, type Writer } from './start-writer-thread.js';

let directory: string;
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-journal-failures-'));
});
afterEach(() => rmSync(directory, { recursive: true, force: true }));

const thread = (): Writer => startWriterThread();
const tick = (n: number): NewJournalRow => ({ kind: 'tick', arrivedAtMs: n });
const positions = (to: number): number[] => Array.from({ length: to }, (_, index) => index + 1);
type Refusal = Extract<WriteReply, { ok: false }>;
const full: Refusal = { ok: false, code: 'SQLITE_FULL', message: 'database or disk is full' };

/** The real segment writer, in this thread, that fails as told: before it wrote, or although it wrote. */
function failingWriter(
  next: (request: WriteRequest) => { readonly reply: Refusal; readonly wrote: boolean } | undefined,
): () => Writer {
  return () => {
    const writer = createSegmentWriter();
    let answer: (reply: WriteReply) => void = () => undefined;
    return {
      ready: Promise.resolve(),
      write: (request) => {
        const failure = next(request);
        if (failure?.wrote === true) {
          writer.write(request);
          writer.close();
        }
        setImmediate(() => answer(failure?.reply ?? writer.write(request)));
      },
      onReply: (listener) => (answer = listener),
      onDeath: () => undefined,
      close: async () => writer.close(),
    };
  };
}

describe('a disk that is full for a while', () => {
  it('loses and doubles nothing, keeps positions without gaps, and is reported once', async () => {
    let failures = 5;
    const startWriter = failingWriter(() => (failures-- > 0 ? { reply: full, wrote: false } : undefined));
    const journal = openJournalWith({ directory, retryMs: 5 }, startWriter);
    const heard: string[] = [];
    journal.onFailure((error) => heard.push(error.code));
    journal.onRecovery(() => heard.push('recovered'));
    for (let n = 1; n <= 50; n += 1) {
      journal.append(tick(n));
      if (n % 10 === 0) await new Promise((resolve) => setTimeout(resolve, 3));
    }
    await journal.whenDurable(50);
    expect(heard).toEqual(['disk-full', 'recovered']);
    expect(journal.failure()).toBeUndefined();
    expect(journal.read(1, 100).map((row) => row.position)).toEqual(positions(50));
    await journal.close();
  });

  it('does not write rows twice that were written although the write was reported as failed', async () => {
    let calls = 0;
    const startWriter = failingWriter(() => (++calls === 1 ? { reply: full, wrote: true } : undefined));
    const journal = openJournalWith({ directory, retryMs: 5 }, startWriter);
    for (let n = 1; n <= 10; n += 1) journal.append(tick(n));
    await journal.flush();
    expect(calls).toBe(2);
    expect(journal.read(1, 100).map((row) => row.arrivedAtMs)).toEqual(positions(10));
    await journal.close();
  });

  it('makes closing fail, and tells those who wait, where it is not over', async () => {
    const journal = openJournalWith(
      { directory, retryMs: 60_000 },
      failingWriter(() => ({ reply: full, wrote: false })),
    );
    const waiting = journal.whenDurable(journal.append(tick(1)));
    const failure = expect.objectContaining({ name: 'JournalError', code: 'disk-full' });
    const told = expect(waiting).rejects.toThrow(failure);
    await expect(journal.close()).rejects.toThrow(failure);
    await told;
  });

  it('is tried once more at closing, without waiting for the pause to end', async () => {
    let calls = 0;
    const startWriter = failingWriter(() => (++calls === 1 ? { reply: full, wrote: false } : undefined));
    const journal = openJournalWith({ directory, retryMs: 60_000 }, startWriter);
    const failed = new Promise((resolve) => journal.onFailure(resolve));
    journal.append(tick(1));
    await failed;
    journal.append(tick(2));
    await journal.close();
    expect(openJournalWith({ directory }, startWriter).lastPosition()).toBe(2);
  });
});

describe('what a failure means', () => {
  it.each([
    ['SQLITE_FULL', 'disk-full'],
    ['SQLITE_READONLY_DBMOVED', 'read-only'],
    ['SQLITE_IOERR_FSYNC', 'io'],
    ['SQLITE_BUSY', 'io'],
    ['SQLITE_CORRUPT', 'corrupt'],
    ['SQLITE_CONSTRAINT_PRIMARYKEY', 'corrupt'],
  ])('%s is %s', async (code, meaning) => {
    const reply: Refusal = { ok: false, code, message: 'made for the test' };
    const journal = openJournalWith(
      { directory, retryMs: 60_000 },
      failingWriter(() => ({ reply, wrote: false })),
    );
    const failed = new Promise<JournalError>((resolve) => journal.onFailure(resolve));
    journal.append(tick(1));
    expect((await failed).code).toBe(meaning);
    await expect(journal.close()).rejects.toThrow(code);
  });

  it('is `corrupt` where rows that were reported as written are gone, and nothing is written any more', async () => {
    const journal = openJournalWith({ directory, retryMs: 5 }, thread);
    journal.append(tick(1));
    journal.append(tick(2));
    await journal.flush();
    await journal.close();
    const again = openJournalWith({ directory, retryMs: 5 }, thread);
    const database = new Database(join(directory, 'journal-0000000000000001.sqlite'));
    database.exec('DELETE FROM row WHERE position = 2');
    database.close();
    const waiting = again.whenDurable(again.append(tick(3)));
    await expect(waiting).rejects.toThrow(expect.objectContaining({ code: 'corrupt' }));
    await expect(again.whenDurable(again.append(tick(4)))).rejects.toThrow('JOURNAL_CORRUPT');
    await expect(again.close()).rejects.toThrow(expect.objectContaining({ code: 'corrupt' }));
  });

  it('is told on opening where the directory cannot be made', () => {
    writeFileSync(join(directory, 'file'), '');
    expect(() => openJournalWith({ directory: join(directory, 'file', 'journal') }, thread)).toThrow(
      expect.objectContaining({ name: 'JournalError', code: 'io' }),
    );
  });
});

describe('the real writer thread', () => {
  it('may die at any moment: another takes its place and nothing is lost', async () => {
    const threads: Writer[] = [];
    const kill: (() => Promise<unknown>)[] = [];
    const startWriter = (): Writer => {
      const thread = startWriterThread((worker) => kill.push(() => worker.terminate()));
      threads.push(thread);
      return thread;
    };
    const journal = openJournalWith({ directory, retryMs: 5 }, startWriter);
    const heard: string[] = [];
    journal.onFailure((error) => heard.push(error.message));
    for (let round = 0; round < 5; round += 1) {
      for (let n = 0; n < 200; n += 1) journal.append(tick(round * 200 + n + 1));
      await new Promise((resolve) => setImmediate(resolve));
      await kill.at(-1)?.();
      await vi.waitFor(() => expect(threads.length).toBe(round + 2));
    }
    await journal.flush();
    expect(threads.length).toBe(6);
    expect(heard[0]).toContain('writer thread died');
    expect(journal.read(1, 2000).map((row) => row.arrivedAtMs)).toEqual(positions(1000));
    await journal.close();
  });

  it('may die while it has nothing to do', async () => {
    let kill: () => Promise<unknown> = () => Promise.resolve();
    const startWriter = (): Writer => startWriterThread((worker) => (kill = () => worker.terminate()));
    const journal = openJournalWith({ directory, retryMs: 5 }, startWriter);
    await journal.whenDurable(journal.append(tick(1)));
    const recovered = new Promise<void>((resolve) => journal.onRecovery(resolve));
    await kill();
    await recovered;
    expect(journal.failure()).toBeUndefined();
    await journal.whenDurable(journal.append(tick(2)));
    expect(journal.read(1, 10)).toHaveLength(2);
    await journal.close();
  });

  it('leaves the event loop free while the disk stands still', async () => {
    const journal = openJournalWith({ directory }, thread);
    await journal.whenDurable(journal.append(tick(1)));
    const disk = new Database(join(directory, 'journal-0000000000000001.sqlite'));
    disk.exec('BEGIN IMMEDIATE');
    const position = journal.append(tick(2));
    let turns = 0;
    const counter = setInterval(() => (turns += 1), 5);
    await new Promise((resolve) => setTimeout(resolve, 300));
    clearInterval(counter);
    expect(journal.durable()).toBe(1);
    expect(turns).toBeGreaterThan(20);
    disk.exec('COMMIT');
    disk.close();
    await journal.whenDurable(position);
    await journal.close();
  });
});
