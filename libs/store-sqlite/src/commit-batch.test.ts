import type { RollRecord } from '@edge-margin/roll-geometry';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { AlarmState, AlarmTransition, AlarmView } from '@edge-margin/alarms';
import { reason } from '@edge-margin/units';
import Database from 'better-sqlite3';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { countNotUsed } from './not-used-records.js';
import { openStore } from './open-store.js';
import type { Store } from './store.js';
import type { StoreBatch } from './store-batch.js';

let directory = '';
let store: Store;
const reopen = (): void => {
  store.close();
  store = openStore(join(directory, 'store.sqlite'));
};
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-store-'));
  store = openStore(join(directory, 'store.sqlite'));
});
afterEach(() => {
  store.close();
  rmSync(directory, { recursive: true, force: true });
});

const startMs = 1_790_000_000_000;
const speed = {
  measurement: 'reading',
  winderId: 'w1',
  stationId: 'a',
  end: 'both',
  field: 'speed',
} as const;
const speedAt = (offsetMs: number, value: number) => ({ ...speed, atMs: startMs + offsetMs, value });
const pointsOf = (of = store) =>
  of.series.query({ id: speed, fromMs: 0, toMs: 9e15, maxPoints: 10_000 }).points;

const alarm = (alarmKey: string, sinceMs: number, state: AlarmState): AlarmView => ({
  alarmKey,
  occurrenceId: `${alarmKey}@${sinceMs}`,
  winderId: 'w1',
  stationId: 'a',
  mechanism: 'air',
  stage: 'foreseen',
  state,
  priority: 'medium',
  because: reason('free-ahead', 'wraps free to move from 830 mm'),
  response: 'lower the speed to 14 m/s',
  conditionSinceMs: sinceMs,
  raisedAtMs: sinceMs + 3000,
  clearedAtMs: null,
  acknowledged: null,
  inputQuality: 'good',
});
const transition = (
  kind: AlarmTransition['kind'],
  atMs: number,
  to: AlarmState,
  view: AlarmView,
): AlarmTransition => ({
  id: `${view.occurrenceId}${kind}`,
  kind,
  from: 'NORM',
  to,
  atMs,
  actor: null,
  alarm: { ...view, state: to },
  modelRevision: 'm1',
  configurationRevision: 'c1',
});
const roll = (
  rollId: string,
  startedAtMs: number,
  endedAtMs: number | null,
  stationId = 'a',
): RollRecord => ({
  rollId,
  winderId: 'w1',
  stationId,
  gradeId: 'film-12',
  startedAtMs,
  startUnknown: false,
  endedAtMs,
  coreDiameterM: 0.152,
  endDiameterM: endedAtMs === null ? null : 0.9,
  woundLengthM: null,
  wrapCount: null,
  highestRisk: null,
});
const full = (position: number): StoreBatch => ({
  position,
  samples: [speedAt(position * 100, position)],
  alarmTransitions: [
    transition('raise', startMs + position, 'UNACK', alarm(`w1.a.m${position}`, startMs + position, 'UNACK')),
  ],
  rolls: [roll(`r${position}`, startMs + position, null)],
  notUsed: [
    {
      code: 'late',
      count: 2,
      lastAtMs: startMs + position,
      last: { because: reason('late', 'too late'), topic: 't', sample: 's', stationKey: null, signal: null },
    },
  ],
  gaps: [
    {
      id: `g${position}`,
      what: 'messages',
      fromMs: startMs,
      toMs: startMs + position,
      count: null,
      because: reason('session-lost', 'lost'),
    },
  ],
  stationStates: [{ stationKey: 'w1/a', json: `{"p":${position}}` }],
  decoderState: `d${position}`,
  outbox: [
    { id: `o${position}`, topic: 'mill/w1', payload: `${position}`, retain: position % 2 === 0, qos: 1 },
  ],
});
const contents = (of = store) => ({
  position: of.readPosition(),
  decoderState: of.readDecoderState(),
  states: [...of.readStates()],
  points: pointsOf(of),
  transitions: of.alarms.transitions({ limit: 100 }),
  open: of.alarms.open(),
  rolls: of.rolls.query({ limit: 100 }),
  notUsed: of.notUsed.summary(),
  gaps: of.gaps.query({ limit: 100 }),
  outbox: of.outbox.pending(100),
});

describe('committing a batch', () => {
  it('keeps every part of it, and the position, over a restart', () => {
    expect(store.commitBatch(full(7))).toEqual({ applied: true });
    const before = contents();
    expect(before).toMatchObject({
      position: 7,
      decoderState: 'd7',
      states: [['w1/a', '{"p":7}']],
      points: [[startMs + 700, 7]],
    });
    expect(
      [before.transitions, before.open, before.rolls, before.gaps, before.outbox].map((part) => part.length),
    ).toEqual([1, 1, 1, 1, 1]);
    expect(before.notUsed.total).toBe(2);
    reopen();
    expect(contents()).toEqual(before);
  });

  it('ignores a batch at or before the position reached, whatever it holds', () => {
    store.commitBatch(full(7));
    const before = contents();
    for (const position of [0, 1, 6, 7])
      expect(store.commitBatch({ ...full(8), position })).toEqual({ applied: false });
    expect(contents()).toEqual(before);
  });

  it('changes nothing where any part of it cannot be kept', () => {
    store.commitBatch(full(1));
    const before = contents();
    const bad = {
      ...full(2),
      samples: [...(full(2).samples ?? []), { ...speed, field: 'new', atMs: startMs, value: NaN }],
    };
    expect(() => store.commitBatch(bad)).toThrow(
      new RangeError('value: a finite number or a text is needed for new, got NaN'),
    );
    expect(contents()).toEqual(before);
    // The series that the failed batch had made is made again by the next one.
    store.commitBatch({ position: 2, samples: [{ ...speed, field: 'new', atMs: startMs, value: 1 }] });
    reopen();
    expect(store.series.latest({ ...speed, field: 'new' })).toEqual([startMs, 1]);
  });

  it.each([-1, 1.5, NaN, 2 ** 53])('refuses %d as a position', (position) => {
    expect(() => store.commitBatch({ position })).toThrow(RangeError);
  });

  it('has the same contents however often and in whatever pieces a crash makes the batches come again', () => {
    const positions = Array.from({ length: 12 }, (_, index) => index + 1);
    for (const position of positions) store.commitBatch(full(position));
    const expected = contents();
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 12 }), { maxLength: 20 }), (crashes) => {
        const path = join(directory, `again-${Math.random()}.sqlite`);
        const other = openStore(path);
        // After a crash the folding starts again somewhere at or before the stored position.
        for (const crashAt of [...crashes, 12]) {
          const from = Math.max(1, Math.min(other.readPosition() + 1, crashAt - 3));
          for (let position = from; position <= crashAt; position += 1) other.commitBatch(full(position));
        }
        expect(contents(other)).toEqual(expected);
        other.close();
      }),
      { numRuns: 20 },
    );
  });

  it('knows effects by their ids even when they come with a later position', () => {
    store.commitBatch(full(1));
    const { alarmTransitions, outbox, gaps } = full(1);
    store.outbox.markSent(['o1'], startMs);
    store.commitBatch({ position: 2, alarmTransitions: alarmTransitions!, outbox: outbox!, gaps: gaps! });
    expect(store.alarms.transitions({ limit: 10 })).toHaveLength(1);
    expect(store.gaps.query({ limit: 10 })).toHaveLength(1);
    expect(store.outbox.pending(10)).toEqual([]);
  });

  it('covers with the durable position only what a checkpoint has brought to the disk', () => {
    store.commitBatch(full(3));
    expect(store.durablePosition()).toBe(3);
    const reader = new Database(join(directory, 'store.sqlite'), { readonly: true });
    reader.exec('BEGIN');
    reader.prepare('SELECT count(*) FROM sample').get();
    store.commitBatch(full(4));
    expect(store.durablePosition()).toBe(3);
    reader.exec('COMMIT');
    expect(store.durablePosition()).toBe(4);
    reader.close();
  });
});

describe('the alarm records', () => {
  const key = 'w1.a.air';
  const view = alarm(key, startMs, 'UNACK');
  const life = [
    transition('raise', startMs + 3000, 'UNACK', view),
    transition('acknowledge', startMs + 5000, 'ACKED', view),
    transition('clear', startMs + 9000, 'NORM', view),
  ];

  it('give transitions newest first, from inclusive and to exclusive, and by alarm', () => {
    store.alarms.record([
      ...life,
      transition('raise', startMs + 5000, 'UNACK', alarm('w1.b.nip', startMs + 2000, 'UNACK')),
    ]);
    const kinds = (query: Parameters<typeof store.alarms.transitions>[0]) =>
      store.alarms.transitions(query).map(({ kind, alarm: { alarmKey } }) => `${alarmKey} ${kind}`);
    expect(kinds({ limit: 10 })).toEqual([
      `${key} clear`,
      'w1.b.nip raise',
      `${key} acknowledge`,
      `${key} raise`,
    ]);
    expect(kinds({ limit: 2 })).toEqual([`${key} clear`, 'w1.b.nip raise']);
    expect(kinds({ fromMs: startMs + 5000, toMs: startMs + 9000, limit: 10 })).toEqual([
      'w1.b.nip raise',
      `${key} acknowledge`,
    ]);
    expect(kinds({ alarmKey: 'w1.b.nip', limit: 10 })).toEqual(['w1.b.nip raise']);
    expect(store.alarms.transitions({ limit: 1 })).toEqual([life[2]]);
  });

  it('give the life of one occurrence, oldest first', () => {
    store.alarms.record([
      ...life,
      transition('raise', startMs + 20_000, 'UNACK', alarm(key, startMs + 17_000, 'UNACK')),
    ]);
    expect(store.alarms.ofOccurrence(view.occurrenceId)).toEqual(life);
    expect(store.alarms.ofOccurrence('none')).toEqual([]);
  });

  it('keep an alarm open from its raise until it is normal', () => {
    const states = life.map((step) => {
      store.alarms.record([step]);
      return store.alarms.open().map(({ state }) => state);
    });
    expect(states).toEqual([['UNACK'], ['ACKED'], []]);
  });

  it('do not open an alarm again when an old transition comes twice', () => {
    store.alarms.record(life);
    store.alarms.record(life.slice(0, 2));
    expect(store.alarms.open()).toEqual([]);
  });

  it('take new words for the occurrence that is open, and only for that', () => {
    store.alarms.record(life.slice(0, 1));
    store.alarms.refresh([
      { ...view, inputQuality: 'stale' },
      { ...alarm('w1.b.air', startMs, 'UNACK') },
      { ...alarm(key, startMs - 1, 'UNACK'), inputQuality: 'good' },
    ]);
    expect(store.alarms.open().map(({ alarmKey, inputQuality }) => [alarmKey, inputQuality])).toEqual([
      [key, 'stale'],
    ]);
  });

  it('list open alarms in the order in which they were raised', () => {
    const raise = (alarmKey: string, sinceMs: number) =>
      transition('raise', sinceMs + 3000, 'UNACK', alarm(alarmKey, sinceMs, 'UNACK'));
    store.alarms.record([raise('w1.z', 3), raise('w1.y', 1), raise('w1.x', 2)]);
    expect(store.alarms.open().map(({ alarmKey }) => alarmKey)).toEqual(['w1.y', 'w1.x', 'w1.z']);
  });
});

describe('the rolls', () => {
  it('are replaced by their later record and found by the time in which they were wound', () => {
    store.rolls.record([roll('r1', 1000, 2000), roll('r2', 2500, null), roll('r3', 2500, null, 'b')]);
    store.rolls.record([roll('r2', 2500, 4000)]);
    const ids = (query: Omit<Parameters<typeof store.rolls.query>[0], 'limit'>) =>
      store.rolls.query({ ...query, limit: 10 }).map(({ rollId }) => rollId);
    expect(ids({})).toEqual(['r3', 'r2', 'r1']);
    expect(ids({ stationId: 'a' })).toEqual(['r2', 'r1']);
    expect(ids({ winderId: 'w2' })).toEqual([]);
    expect(ids({ fromMs: 2000, toMs: 2500 })).toEqual(['r1']);
    expect(ids({ fromMs: 4001 })).toEqual(['r3']);
    expect(store.rolls.query({ stationId: 'a', limit: 1 })).toEqual([roll('r2', 2500, 4000)]);
  });
});

describe('readings not used', () => {
  it('are counted by reason, with the last of each', () => {
    const reading = (code: string, arrivedAtMs: number, stationKey?: string) => ({
      because: reason(code, `${code} at ${arrivedAtMs}`),
      topic: 'mill/w1/speed',
      arrivedAtMs,
      sample: 'oops',
      ...(stationKey === undefined ? {} : { stationKey }),
    });
    store.notUsed.add(
      countNotUsed([reading('late', 1), reading('no-number', 2, 'w1/a'), reading('late', 3)]),
    );
    store.notUsed.add(countNotUsed([reading('late', 4)]));
    expect(store.notUsed.summary()).toEqual({
      total: 4,
      byReason: [
        {
          code: 'late',
          count: 3,
          lastAtMs: 4,
          last: {
            because: reason('late', 'late at 4'),
            topic: 'mill/w1/speed',
            sample: 'oops',
            stationKey: null,
            signal: null,
          },
        },
        {
          code: 'no-number',
          count: 1,
          lastAtMs: 2,
          last: {
            because: reason('no-number', 'no-number at 2'),
            topic: 'mill/w1/speed',
            sample: 'oops',
            stationKey: 'w1/a',
            signal: null,
          },
        },
      ],
    });
  });
});

describe('the outbox', () => {
  const message = (id: string) => ({
    id,
    topic: `mill/${id}`,
    payload: `{"id":"${id}"}`,
    retain: id === 'b',
    qos: 1 as const,
  });

  it('gives what is not sent, oldest first, until it is marked', () => {
    store.outbox.add(['c', 'b', 'a'].map(message));
    expect(store.outbox.pending(2)).toEqual([message('c'), message('b')]);
    store.outbox.markSent(['c', 'unknown'], startMs);
    expect(store.outbox.pending(10)).toEqual([message('b'), message('a')]);
    expect(store.outbox.pendingCount()).toBe(2);
  });

  it('forgets ids only after their time, a few at a time, and never what is not sent', () => {
    store.outbox.add(['a', 'b', 'c', 'd'].map(message));
    store.outbox.markSent(['a'], 1000);
    store.outbox.markSent(['b'], 2000);
    store.outbox.markSent(['c'], 3000);
    expect(store.outbox.forgetSent(3000, 1)).toBe(1);
    expect(store.outbox.forgetSent(3000, 10)).toBe(1);
    store.outbox.add(['a', 'c'].map(message));
    expect(store.outbox.pending(10).map(({ id }) => id)).toEqual(['d', 'a']);
  });
});

describe('gaps', () => {
  const gap = (id: string, fromMs: number, toMs: number, count: number | null = 1) => ({
    id,
    what: 'replica x',
    fromMs,
    toMs,
    count,
    because: reason('behind', 'too far behind'),
  });

  it('are found by the time they reach into, newest first', () => {
    store.gaps.record([gap('1', 1000, 2000), gap('2', 5000, 6000), gap('1', 0, 9000)]);
    const ids = (query: Omit<Parameters<typeof store.gaps.query>[0], 'limit'>) =>
      store.gaps.query({ ...query, limit: 10 }).map(({ id }) => id);
    expect(ids({})).toEqual(['2', '1']);
    expect(ids({ fromMs: 2000, toMs: 4000 })).toEqual(['1']);
    expect(ids({ fromMs: 2001, toMs: 4999 })).toEqual([]);
    expect(ids({ what: 'messages' })).toEqual([]);
  });

  it('are widened while they go on, and a later one is a gap of its own', () => {
    store.gaps.extend(gap('1', 1000, 2000, 5));
    store.gaps.extend(gap('2', 2100, 3000, 7));
    store.gaps.extend(gap('3', 500_000, 600_000, 9));
    expect(store.gaps.query({ limit: 10 })).toEqual([
      gap('3', 500_000, 600_000, 9),
      gap('1', 1000, 3000, 12),
    ]);
  });
});
