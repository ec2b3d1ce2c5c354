import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { collectBatches } from './pending-batches.js';
import { columnsOf } from './row-columns.js';
import type { WriteReply, WriteRequest } from './segment-writer.mjs';
import type { Writer } from './start-writer-thread.js';
import { startWriteLoop } from './write-loop.js';

const options = {
  directory: '/nowhere',
  segmentMaxBytes: 1e9,
  segmentMaxAgeMs: 1e9,
  retryMs: 1000,
  lingerMs: 4,
  pauseMs: 40,
};

/** A writer whose disk takes so long, and the rows of each transaction with the moment at which it was handed over. */
function writeLoop(diskMs: number) {
  const pending = collectBatches();
  const transactions: { readonly atMs: number; readonly rows: number }[] = [];
  const beginMs = performance.now();
  let reply: (reply: WriteReply) => void = () => undefined;
  const writer: Writer = {
    ready: Promise.resolve(),
    write: ({ first, count }: WriteRequest) => {
      transactions.push({ atMs: performance.now() - beginMs, rows: count });
      setTimeout(() => reply({ ok: true, last: first + count - 1, segmentBytes: 100 }), diskMs);
    },
    onReply: (listener) => (reply = listener),
    onDeath: () => undefined,
    close: () => Promise.resolve(),
  };
  const ignored = { written: () => undefined, failed: () => undefined, recovered: () => undefined };
  const loop = startWriteLoop(options, pending, undefined, () => writer, ignored);
  let position = 0;
  return {
    loop,
    transactions,
    append: (count: number) => {
      for (let row = 0; row < count; row += 1) {
        position += 1;
        pending.add(position, columnsOf({ kind: 'tick', arrivedAtMs: 1 }));
        loop.nudge();
      }
    },
    pass: (ms: number) => vi.advanceTimersByTime(ms),
  };
}

describe('the company that a transaction waits for', () => {
  beforeEach(() => {
    vi.useFakeTimers();
  });
  afterEach(() => {
    vi.useRealTimers();
  });

  it('is nobody for a row that comes alone', () => {
    const { append, pass, transactions } = writeLoop(2);
    append(1);
    pass(100);
    expect(transactions).toEqual([{ atMs: 1, rows: 1 }]);
  });

  it('is whatever comes within 40 ms where messages trickle in', () => {
    const { append, pass, transactions } = writeLoop(2);
    for (let n = 0; n < 200; n += 1) {
      append(5);
      pass(5);
    }
    const gaps = transactions.slice(1).map(({ atMs }, index) => atMs - (transactions[index]?.atMs ?? 0));
    expect(Math.min(...gaps)).toBeGreaterThanOrEqual(40);
    expect(transactions.length).toBeGreaterThan(20);
    expect(transactions.reduce((sum, { rows }) => sum + rows, 0)).toBeGreaterThan(950);
  });

  it('is no more than sixty-four rows, so that a broker with a hundred on the way does not run dry', () => {
    const { append, pass, transactions } = writeLoop(2);
    append(1);
    pass(3);
    for (let n = 0; n < 30; n += 1) {
      append(3);
      pass(1);
    }
    expect(transactions[1]?.atMs).toBeLessThan(30);
    expect(transactions[1]?.rows).toBeGreaterThanOrEqual(64);
    expect(transactions[1]?.rows).toBeLessThan(80);
  });

  it('is the rest of a burst, also where that comes in the middle of a pause', () => {
    const { append, pass, transactions } = writeLoop(2);
    append(1);
    pass(10);
    append(2);
    pass(5);
    append(20);
    pass(3);
    expect(transactions[1]).toEqual({ atMs: 16, rows: 22 });
  });

  it('keeps a backlog flowing whose broker sends twenty ahead of acknowledgements', () => {
    const { append, pass, transactions } = writeLoop(2);
    let sent = 0;
    for (let ms = 0; ms < 1000; ms += 1) {
      const acknowledged = transactions.reduce(
        (sum, { atMs, rows }) => (ms - atMs >= 2 ? sum + rows : sum),
        0,
      );
      const free = 20 - (sent - acknowledged);
      append(free);
      sent += free;
      pass(1);
    }
    expect(sent).toBeGreaterThan(4000);
  });

  it('is nobody where somebody asks to hurry', () => {
    const { append, loop, pass, transactions } = writeLoop(2);
    append(1);
    pass(5);
    append(1);
    pass(5);
    loop.hurry();
    expect(transactions).toHaveLength(2);
  });
});
