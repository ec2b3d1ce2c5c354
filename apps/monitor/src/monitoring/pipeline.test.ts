import type { Effect } from '@edge-margin/monitoring';
import type { JournalRow, NewJournalRow } from '@edge-margin/telemetry';
import type { Logger } from 'pino';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Committed } from './effect-batches.js';
import { Pipeline } from './pipeline.js';
import type { PipelineJournal } from './pipeline-parts.js';

const startMs = 1_790_000_000_000;
const plantFile = `
plantFileVersion: 1
site: { id: s, name: S }
areas: [{ id: a, name: A, lines: [{ id: l, name: L, winders: [{ id: w, name: W,
  limits: { speedMPerS: { max: 12 }, tensionNPerM: { min: 40, max: 300 }, diameterM: { max: 0.8 } },
  stations: [{ id: a, name: A, coreDiameterM: 0.152, rolls: [{ id: r, widthM: 1.2 }], nip: null, defaultGrade: g }] }] }] }]
grades:
  - { id: g, name: Test film, caliperM: 100.0e-6, combinedRoughnessM: 0.5e-6, permeanceMPerPaS: 0, setEndDiameterM: 0.3, activated: false }
sources:
  - topic: m/{winder}/{station}
    time: { pointer: /t, format: epoch-ms }
    signals:
      - { signal: speed, pointer: /v, expectedPeriodS: 1 }
      - { signal: diameter, pointer: /d, expectedPeriodS: 1, uncertainty: 0.0003 }
`;

/** A journal in memory whose disk is as slow as the test wants it. */
function slowJournal() {
  const rows: JournalRow[] = [];
  let durable = 0;
  let hurried = 0;
  const appended = new Set<(row: JournalRow) => void>();
  const reached = new Set<(position: number) => void>();
  const listen = <T>(to: Set<T>, listener: T): (() => void) => {
    to.add(listener);
    return () => to.delete(listener);
  };
  const writeUpTo = (position: number): void => {
    durable = position;
    for (const listener of reached) listener(position);
  };
  const journal: PipelineJournal = {
    append: (row: NewJournalRow) => {
      const withPosition = { ...row, position: rows.length + 1 } as JournalRow;
      rows.push(withPosition);
      for (const listener of appended) listener(withPosition);
      return withPosition.position;
    },
    onAppend: (listener) => listen(appended, listener),
    onDurable: (listener) => listen(reached, listener),
    lastPosition: () => rows.length,
    durable: () => durable,
    read: (from, limit) => rows.slice(from - 1, Math.min(from - 1 + limit, durable)),
    flush: () => {
      hurried += 1;
      return Promise.resolve();
    },
  };
  return { journal, rows, writeUpTo, writeAll: () => writeUpTo(rows.length), hurried: () => hurried };
}

/** A store in memory that can be made to refuse. */
function store() {
  const states = new Map<string, string>();
  const committed: Committed[] = [];
  let refusing = false;
  return {
    committed,
    states,
    refuse: (yes: boolean) => (refusing = yes),
    readPosition: () => committed.at(-1)?.position ?? 0,
    readStates: () => [...states].map(([stationKey, json]) => ({ stationKey, json })),
    commit: (batch: Committed) => {
      if (refusing) throw new Error('SQLITE_FULL');
      committed.push(batch);
      for (const { stationKey, json } of batch.states) states.set(stationKey, json);
      return true;
    },
  };
}

const silent = { info: () => undefined, warn: () => undefined, error: () => undefined } as unknown as Logger;

function pipelineOn(disk: ReturnType<typeof slowJournal>, kept: ReturnType<typeof store>) {
  const shown: Effect[] = [];
  const decoder = new TextDecoder('utf-8', { fatal: true });
  const pipeline = new Pipeline({
    journal: disk.journal,
    store: kept,
    dependencies: { textDecoder: (bytes) => decoder.decode(bytes) },
    log: silent,
    now: () => startMs,
    onEffects: (effects) => shown.push(...effects),
  });
  let second = 0;
  return {
    pipeline,
    shown,
    begin: () => {
      pipeline.start();
      disk.journal.append({ kind: 'config', arrivedAtMs: startMs, plantFile, revision: 'r1' });
      disk.journal.append({ kind: 'link', arrivedAtMs: startMs, link: 'broker', state: 'up' });
    },
    /** A second of readings. */
    message: () => {
      second += 1;
      const t = startMs + second * 1000;
      const payload = new TextEncoder().encode(JSON.stringify({ t, v: 6, d: 0.2 }));
      const flags = { qos: 1, retain: false, dup: false } as const;
      disk.journal.append({ kind: 'message', topic: 'm/w/a', payload, arrivedAtMs: t, ...flags });
    },
    /** What needs an answer. */
    ask: () =>
      pipeline.submit('nobody', { type: 'acknowledge-alarm', alarmKey: 'w.a.none', occurrenceId: 'x' }),
  };
}

/** Lets every turn of the pipeline that is due pass, for so long. */
const turns = (ms = 0): Promise<unknown> => vi.advanceTimersByTimeAsync(ms);
const stored = ({ committed }: ReturnType<typeof store>): readonly Effect[] =>
  committed.flatMap(({ effects }) => effects);
const storable = (effects: readonly Effect[]): readonly Effect[] =>
  effects.filter(({ kind }) => kind !== 'assessment');
const kinds = (effects: readonly Effect[]): string[] => effects.map(({ kind }) => kind);

describe('the pipeline beside a slow disk', () => {
  beforeEach(() => {
    vi.useFakeTimers();
  });
  afterEach(() => {
    vi.useRealTimers();
  });

  it('shows readings before they are on disk and stores nothing of them until they are', async () => {
    const disk = slowJournal();
    const kept = store();
    const { begin, message, shown } = pipelineOn(disk, kept);
    begin();
    message();
    await turns(3000);
    expect(kinds(shown)).toContain('samples');
    expect(kept.committed).toEqual([]);
    disk.writeAll();
    await turns();
    expect(stored(kept)).toEqual(storable(shown));
    expect(kept.readPosition()).toBe(3);
  });

  it('stores an answer before it is given, waits for the disk with it, and asks the journal to hurry', async () => {
    const disk = slowJournal();
    const kept = store();
    const { ask, begin, message, shown } = pipelineOn(disk, kept);
    begin();
    let answered = false;
    void ask().then(() => (answered = true));
    message();
    await turns(3000);
    expect(answered).toBe(false);
    expect(kinds(shown)).not.toContain('command-answer');
    expect(disk.hurried()).toBe(1);
    disk.writeAll();
    await turns();
    expect(answered).toBe(true);
    expect(kinds(shown).indexOf('command-answer')).toBeLessThan(kinds(shown).indexOf('samples'));
  });

  it('shows what came after an answer in turn, also where the next answer waits already', async () => {
    const disk = slowJournal();
    const kept = store();
    const { ask, begin, message, shown } = pipelineOn(disk, kept);
    begin();
    disk.writeAll();
    await turns();
    let answers = 0;
    void ask().then(() => (answers += 1));
    await turns();
    message();
    void ask().then(() => (answers += 1));
    await turns();
    disk.writeUpTo(3);
    await turns();
    expect(answers).toBe(1);
    disk.writeAll();
    await turns();
    expect(answers).toBe(2);
    expect(stored(kept)).toEqual(storable(shown));
  });

  it('lets rows wait where the disk does not come along, and loses none of them', async () => {
    const disk = slowJournal();
    const kept = store();
    const { begin, message, pipeline, shown } = pipelineOn(disk, kept);
    begin();
    for (let n = 0; n < 12_000; n += 1) message();
    for (let n = 0; n < 200; n += 1) await turns(10);
    expect(pipeline.backlog).toBeGreaterThan(0);
    expect(shown.length).toBeLessThan(20_000);
    disk.writeAll();
    for (let n = 0; n < 400; n += 1) await turns(10);
    expect(pipeline.backlog).toBe(0);
    await pipeline.stop();
    expect(kept.readPosition()).toBe(disk.rows.length);
    expect(stored(kept)).toEqual(storable(shown));
  });

  it('keeps what a store refuses and stores it once', async () => {
    const disk = slowJournal();
    const kept = store();
    const { begin, message, pipeline, shown } = pipelineOn(disk, kept);
    begin();
    disk.writeAll();
    await turns();
    kept.refuse(true);
    message();
    disk.writeAll();
    await turns(2500);
    expect(pipeline.failure?.message).toBe('SQLITE_FULL');
    message();
    kept.refuse(false);
    disk.writeAll();
    await turns(3000);
    expect(pipeline.failure).toBeUndefined();
    expect(kept.readPosition()).toBe(disk.rows.length);
    expect(stored(kept)).toEqual(storable(shown));
  });

  it('never stores beyond the disk, whatever the order of rows and writes, and a crash at any moment gives each effect once', async () => {
    // A linear congruential generator (constants of Numerical Recipes, from memory): the same mixture each time.
    let state = 7;
    const random = (): number => (state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0) / 2 ** 32;
    const disk = slowJournal();
    const kept = store();
    let beyond = 0;
    const watched = {
      ...kept,
      commit: (batch: Committed) => {
        if (batch.position > disk.journal.durable()) beyond += 1;
        return kept.commit(batch);
      },
    };
    let crashes = 0;
    let running = pipelineOn(disk, watched);
    running.begin();
    for (let n = 0; n < 3000; n += 1) {
      const what = random();
      if (what < 0.6) running.message();
      else if (what < 0.65) void running.ask();
      else if (what < 0.9) {
        const behind = disk.rows.length - disk.journal.durable();
        disk.writeUpTo(disk.journal.durable() + Math.ceil(random() * behind));
      } else if (what < 0.998) await turns(random() * 400);
      else {
        // The rows that were not on disk are gone with the process.
        crashes += 1;
        disk.rows.length = disk.journal.durable();
        vi.clearAllTimers();
        running = pipelineOn(disk, watched);
        running.pipeline.start();
      }
    }
    disk.writeAll();
    for (let n = 0; n < 50; n += 1) await turns(100);
    await running.pipeline.stop();
    expect(crashes).toBeGreaterThan(2);
    expect(beyond).toBe(0);
    expect(kept.readPosition()).toBe(disk.rows.length);
    const straight = pipelineOn(disk, store());
    straight.pipeline.start();
    const once = (effects: readonly Effect[]): string[] => effects.map((effect) => JSON.stringify(effect));
    expect(once(stored(kept))).toEqual(once(storable(straight.shown)));
  });
});
