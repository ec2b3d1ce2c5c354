import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { spawn } from 'node:child_process';
import { DataDirLockedError, lockDataDir, openStore } from '@edge-margin/store-sqlite';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';

let directory = '';
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-crash-'));
});
afterEach(() => {
  rmSync(directory, { recursive: true, force: true });
});

const hooks = new URL('series-typescript-hooks.mjs', import.meta.url).href;
const register = `data:text/javascript,import { register } from 'node:module'; register(${JSON.stringify(hooks)});`;

/** A process of its own that works in the directory; its lines so far, and its end by SIGKILL. */
function startProcess(task: 'hold' | 'write') {
  const child = spawn(
    process.execPath,
    [
      '--conditions=source',
      '--import',
      register,
      fileURLToPath(new URL('series-process.ts', import.meta.url)),
      task,
      directory,
    ],
    { stdio: ['ignore', 'pipe', 'pipe'] },
  );
  let output = '';
  let problems = '';
  child.stdout.on('data', (chunk: Buffer) => (output += chunk.toString()));
  child.stderr.on('data', (chunk: Buffer) => (problems += chunk.toString()));
  const exited = new Promise<void>((resolve) => child.once('close', () => resolve()));
  const lines = (): readonly string[] => output.split('\n').slice(0, -1);
  return {
    pid: child.pid,
    lines,
    reaches: async (count: number): Promise<void> => {
      const deadline = Date.now() + 30_000;
      while (lines().length < count) {
        if (child.exitCode !== null || Date.now() > deadline)
          throw new Error(`the process ended or hangs: ${output}${problems}`);
        await new Promise((resolve) => setTimeout(resolve, 5));
      }
    },
    kill: async (): Promise<void> => {
      child.kill('SIGKILL');
      await exited;
    },
  };
}

describe('a data directory and a process that is killed', () => {
  it('is refused to a second process while the first one lives, and free the moment it is killed', async () => {
    const holder = startProcess('hold');
    await holder.reaches(1);
    let failure: unknown;
    try {
      lockDataDir(directory);
    } catch (error) {
      failure = error;
    }
    expect(failure).toBeInstanceOf(DataDirLockedError);
    expect(failure).toMatchObject({ code: 'data-dir-locked', holderPid: holder.pid });
    await holder.kill();
    lockDataDir(directory).release();
  });

  it('holds every batch that was committed, whole, and no part of another, after kill -9 under load', async () => {
    let committed = 0;
    for (let round = 0; round < 5; round += 1) {
      const writer = startProcess('write');
      await writer.reaches(50 + round * 37);
      await writer.kill();
      const last = Number(writer.lines().at(-1));

      const store = openStore(join(directory, 'store.sqlite'));
      const position = store.readPosition();
      expect(position).toBeGreaterThanOrEqual(last);
      expect(position).toBeGreaterThan(committed);
      for (const field of ['field-0', 'field-19']) {
        const id = { measurement: 'reading', winderId: 'w1', stationId: 'a', end: 'both', field } as const;
        const { points } = store.series.query({ id, fromMs: 0, toMs: 1e9, maxPoints: 1_000_000 });
        expect(points).toEqual(Array.from({ length: position }, (_, index) => [index + 1, index + 1]));
      }
      expect(store.readDecoderState()).toBe(String(position));
      expect(store.readStates().get('w1/a')).toBe(JSON.stringify({ position }));
      expect(store.outbox.pending(1_000_000).map(({ payload }) => Number(payload))).toEqual(
        Array.from({ length: position }, (_, index) => index + 1),
      );
      expect(store.replica.behind('influx')).toBe(position * 20);
      store.close();
      committed = position;
    }
    const database = new Database(join(directory, 'store.sqlite'));
    expect(database.pragma('integrity_check', { simple: true })).toBe('ok');
    database.close();
  });
});
