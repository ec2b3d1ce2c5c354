import { JournalError } from '@edge-margin/journal';
import type { ReplicaStatus } from '@edge-margin/store-influx';
import { reason } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import type { LinkTrouble } from '../../ingest/link-trouble.js';
import { clockNotSeen, watchClock } from '../clock-watch.js';
import type { PartReading } from '../part-reading.js';
import { brokerPart } from './broker-part.js';
import { clockPart } from './clock-part.js';
import { diskPart } from './disk-part.js';
import { journalPart } from './journal-part.js';
import { outboxPart } from './outbox-part.js';
import { processPart } from './process-part.js';
import { replicaPart } from './replica-part.js';
import { storePart } from './store-part.js';
import { delayHistogram } from '../../metrics/delay-histogram.js';

const signs = ({ troubles }: Pick<PartReading, 'troubles'>): Record<string, string> =>
  Object.fromEntries(
    troubles.flatMap(({ trouble, stage, because }) =>
      stage === null ? [] : [[trouble, `${stage}: ${because.code}`]],
    ),
  );

describe('the broker as a part', () => {
  const trouble = (code: LinkTrouble['code'], blocks = false): LinkTrouble => ({
    ...reason(code, `it is ${code}`),
    code,
    sinceMs: 5,
    blocks,
    loses: false,
  });
  const read = (
    state: 'up' | 'down',
    troubles: readonly LinkTrouble[],
    granted = ['mill/#'],
    undecided: readonly LinkTrouble['code'][] = [],
  ) =>
    brokerPart({
      undecided: () => undecided,
      link: () => ({ state, sinceMs: 1, flapping: false, shortLivesEndedAtMs: [] }),
      trouble: () => troubles,
      subscriptions: () => ({ granted, refused: [] }),
      received: () => ({ messages: 3, oversize: 0, lastAtMs: undefined }),
      isCatchingUp: () => false,
    });

  it('is ok where it is connected, subscribed and without trouble', () => {
    expect(read('up', [])).toMatchObject({ state: 'ok', because: [], blocks: false });
    expect(signs(read('up', []))).toEqual({});
  });

  it('is not ready before its connection and its subscriptions', () => {
    expect(read('down', [])).toMatchObject({ state: 'down', blocks: true });
    expect(read('up', [], [])).toMatchObject({ state: 'down', blocks: true });
    expect(read('up', [], []).because[0]?.code).toBe('not-subscribed-yet');
  });

  it.each([
    ['link-down', 'broker-disconnected'],
    ['taken-over', 'broker-taken-over'],
    ['link-flapping', 'broker-taken-over'],
    ['mute', 'broker-mute'],
    ['mute-source', 'broker-mute'],
    ['session-lost', 'messages-lost'],
    ['messages-lost', 'messages-lost'],
    ['subscription-refused', 'broker-refused'],
    ['publish-refused', 'broker-refused'],
    ['certificate-expires', 'certificate-expires'],
  ] as const)('calls maintenance for %s by the alarm %s', (code, alarm) => {
    expect(signs(read('up', [trouble(code)]))).toEqual({ [alarm]: `reached: ${code}` });
    expect(read('up', [trouble(code)]).state).toBe('degraded');
  });

  it('gives no sign of what nobody can tell yet, but of what is seen all the same', () => {
    const told = ({ troubles }: PartReading) => troubles.map((one) => one.trouble);
    const undecided = ['mute', 'mute-source', 'taken-over'] as const;
    const all = told(read('up', []));
    expect(all).toContain('broker-mute');
    expect(told(read('up', [], ['mill/#'], undecided))).toEqual(
      all.filter((trouble) => !['broker-mute', 'broker-taken-over'].includes(trouble)),
    );
    expect(signs(read('up', [trouble('mute')], ['mill/#'], undecided))).toEqual({
      'broker-mute': 'reached: mute',
    });
  });

  it('is down where what the plant file asks for cannot come', () => {
    expect(read('up', [trouble('mute', true)])).toMatchObject({ state: 'down', blocks: true });
  });
});

describe('the disk as a part', () => {
  const gigabytes = (free: number, size: number) => ({ freeBytes: free * 1e9, sizeBytes: size * 1e9 });
  it.each([
    ['a tenth of a small disk is free', gigabytes(9.9, 100), null, 'foreseen: disk-filling'],
    ['more than a tenth is free', gigabytes(10.1, 100), null, undefined],
    ['three hundredths are free, but less than 2 GB', gigabytes(1.9, 100), null, 'reached: disk-full-soon'],
    ['a large disk has less than a tenth, but 30 GB', gigabytes(30, 1000), null, undefined],
    ['a large disk has less than 20 GB', gigabytes(19, 1000), null, 'foreseen: disk-filling'],
    ['a little more came free than was too little', gigabytes(11, 100), 'foreseen', 'foreseen: disk-filling'],
    ['much more came free', gigabytes(12.1, 100), 'foreseen', undefined],
    ['it was nearly full, and a little came free', gigabytes(2.2, 100), 'reached', 'reached: disk-full-soon'],
    ['it was nearly full, and more came free', gigabytes(3, 100), 'reached', 'foreseen: disk-filling'],
  ] as const)('where %s', (_what, space, before, sign) => {
    const part = diskPart(space, before);
    expect(signs(part)['disk-space']).toBe(sign);
    expect(part.state).toBe(sign === undefined ? 'ok' : 'degraded');
    expect(part.blocks).toBe(false);
  });

  it('says nothing where the space cannot be told', () => {
    expect(diskPart(undefined, 'foreseen')).toMatchObject({ figures: [], stage: 'foreseen' });
  });
});

describe('the replica as a part', () => {
  const status = (change: Partial<ReplicaStatus> = {}): ReplicaStatus => ({
    state: 'up',
    trouble: 'none',
    lastError: null,
    behindRows: 0,
    oldestWaitingAtMs: null,
    catchingUp: false,
    rowsPerS: 0,
    setAsideRows: 0,
    rollUps: { state: 'up', trouble: 'none', lastError: null, behindRows: 0 },
    ...change,
  });
  const hourMs = 3_600_000;
  const read = (change: Partial<ReplicaStatus>) =>
    replicaPart(status(change), { maxRows: 1e6, maxAgeMs: 48 * hourMs }, 100 * hourMs);
  const refusal = { ...reason('replica-unauthorized', 'InfluxDB does not know us'), atMs: 1 };

  it('is off where there is none', () => {
    expect(replicaPart(undefined, { maxRows: 1, maxAgeMs: 1 }, 0).state).toBe('off');
  });

  it('never makes the service unready', () => {
    const down = read({ state: 'down', trouble: 'unreachable', lastError: refusal, behindRows: 9e5 });
    expect(down).toMatchObject({ state: 'down', blocks: false });
  });

  it.each([
    ['a few rows are on their way', { behindRows: 500, oldestWaitingAtMs: 100 * hourMs - 2000 }, {}],
    [
      'the oldest row is 20 minutes old',
      { behindRows: 500, oldestWaitingAtMs: 100 * hourMs - 1_200_000 },
      { 'replica-behind': 'foreseen: replica-behind' },
    ],
    [
      'rows are about to be let go of for their age',
      { behindRows: 500, oldestWaitingAtMs: 60 * hourMs },
      { 'replica-behind': 'reached: replica-near-its-limit' },
    ],
    [
      'rows are about to be let go of for their number',
      { behindRows: 810_000, oldestWaitingAtMs: 100 * hourMs },
      { 'replica-behind': 'reached: replica-near-its-limit' },
    ],
    [
      'somebody must act',
      { state: 'down', trouble: 'misconfigured', lastError: refusal },
      { 'replica-refused': 'reached: replica-unauthorized' },
    ],
    [
      'somebody must act for the roll-ups',
      { rollUps: { state: 'down', trouble: 'misconfigured', lastError: refusal, behindRows: 1 } },
      { 'replica-refused': 'reached: replica-unauthorized' },
    ],
    ['it does not answer', { state: 'down', trouble: 'unreachable', lastError: refusal }, {}],
  ] as const)('where %s', (_what, change, expected) => {
    expect(signs(read(change))).toEqual(expected);
  });
});

describe('the clock as a part', () => {
  const hourMs = 3_600_000;
  const after = (looks: readonly (readonly [wallMs: number, steadyMs: number])[]) =>
    looks.reduce((watch, [wallMs, steadyMs]) => watchClock(watch, wallMs, steadyMs), clockNotSeen);

  it('runs evenly where a time service moves it slowly', () => {
    const watch = after([0, 1, 2, 3].map((n) => [n * 2001, n * 2000] as const));
    expect(clockPart(watch, 8000)).toMatchObject({ state: 'ok' });
  });

  it('says that it was set back an hour, for ten minutes', () => {
    const watch = after([
      [2 * hourMs, 0],
      [2 * hourMs + 2000, 2000],
      [hourMs + 4000, 4000],
      [hourMs + 6000, 6000],
    ]);
    const part = clockPart(watch, 6000);
    expect(part.because[0]?.text).toBe('this machine’s clock was set back by 3600 s');
    expect(signs(part)).toEqual({ 'clock-jump': 'reached: clock-set-back' });
    expect(clockPart(watch, 4000 + 10 * 60_000).state).toBe('ok');
    expect(watch.jumps).toBe(1);
  });

  it('does not take a process that stood still for a clock that jumped', () => {
    const watch = after([
      [0, 0],
      [60_000, 60_000],
    ]);
    expect(watch.jumps).toBe(0);
  });
});

describe('the other parts', () => {
  it('say that the store refuses, and why', () => {
    const full = Object.assign(new Error('no space is left for the store'), { code: 'disk-full' });
    const part = storePart({ failure: full }, delayHistogram([1]));
    expect(part).toMatchObject({ state: 'down', blocks: true });
    expect(signs(part)).toEqual({ 'store-failing': 'reached: store-disk-full' });
    expect(storePart({ failure: undefined }, delayHistogram([1]))).toMatchObject({ state: 'ok' });
  });

  it('say that the journal cannot be written, and tell that from one that is slow', () => {
    const journal = (failure: JournalError | undefined, pendingBytes = 0) =>
      journalPart(
        {
          failure: () => failure,
          pendingBytes: () => pendingBytes,
          lastPosition: () => 9,
          durable: () => 8,
          firstPosition: () => 1,
          segments: () => [],
        },
        delayHistogram([1]),
      );
    const full = new JournalError('disk-full', 'The journal cannot be written: the disk is full');
    expect(journal(full)).toMatchObject({ state: 'down', blocks: true });
    expect(signs(journal(full))).toEqual({ 'journal-failing': 'reached: journal-disk-full' });
    expect(journal(undefined, 5 * 1024 * 1024)).toMatchObject({ state: 'degraded', blocks: false });
    expect(signs(journal(undefined, 5 * 1024 * 1024))).toEqual({});
    expect(journal(undefined)).toMatchObject({ state: 'ok' });
  });

  it('tell messages that wait for a broker from messages that it does not take', () => {
    const waiting = { pendingCount: () => 3 };
    expect(signs(outboxPart(waiting, true, true))).toEqual({ 'outbox-waiting': 'reached: outbox-waiting' });
    expect(outboxPart(waiting, true, false)).toMatchObject({ state: 'ok' });
    expect(signs(outboxPart(waiting, false, true))).toEqual({});
    // While the broker is away nobody can tell whether it takes them.
    expect(outboxPart(waiting, false, true)).toMatchObject({ state: 'degraded', troubles: [] });
  });

  it('say that the event loop is held up', () => {
    const figures = { residentBytes: 1, heapBytes: 1, cpuRatio: 0.5 };
    const slow = { p50S: 0.001, p90S: 0.01, p99S: 0.3, maxS: 0.8 };
    expect(processPart(slow, figures).state).toBe('degraded');
    expect(signs(processPart(slow, figures))).toEqual({});
    expect(signs(processPart({ ...slow, p99S: 0.6 }, figures))).toEqual({
      'event-loop': 'reached: event-loop-slow',
    });
    expect(processPart({ ...slow, p99S: 0.1 }, figures).state).toBe('ok');
    expect(processPart(null, figures).state).toBe('ok');
  });
});
