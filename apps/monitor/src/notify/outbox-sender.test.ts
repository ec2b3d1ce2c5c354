import type { OutboxMessage } from '@edge-margin/store-sqlite';
import { pino } from 'pino';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { PublishError, type PublishErrorCode } from '../ingest/publisher.js';
import { OutboxSender } from './outbox-sender.js';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

/** An outbox in memory, and a broker that refuses by topic. */
function setUp(queued: readonly string[]) {
  let waiting = queued.map((name): OutboxMessage => ({
    id: name,
    topic: name.charAt(0),
    payload: name,
    retain: true,
    qos: 1,
  }));
  const refusals = new Map<string, PublishErrorCode>();
  const sent: string[] = [];
  const sender = new OutboxSender({
    outbox: {
      pending: (limit) => waiting.slice(0, limit),
      markSent: (ids) => (waiting = waiting.filter(({ id }) => !ids.includes(id))),
    },
    publish: ({ id, topic }) => {
      const code = refusals.get(topic);
      if (code !== undefined) return Promise.reject(new PublishError(code, topic));
      sent.push(id);
      return Promise.resolve();
    },
    isConnected: () => true,
    now: () => 0,
    log: pino({ level: 'silent' }),
  });
  return {
    sender,
    sent,
    refusals,
    waiting: () => waiting.map(({ id }) => id),
    pass: async (ms = 0) => vi.advanceTimersByTimeAsync(ms),
  };
}

describe('the outbox', () => {
  it('is sent oldest first, all of it', async () => {
    const names = Array.from({ length: 250 }, (_, n) => `a${n}`);
    const { sender, sent, waiting, pass } = setUp(names);
    sender.nudge();
    await pass();
    expect(sent).toEqual(names);
    expect(waiting()).toEqual([]);
  });

  it('passes over what is larger than the broker takes', async () => {
    const { sender, sent, refusals, waiting, pass } = setUp(['a1', 'b1', 'a2']);
    refusals.set('b', 'too-large');
    sender.nudge();
    await pass();
    expect(sent).toEqual(['a1', 'a2']);
    expect(waiting()).toEqual([]);
  });

  it('keeps what the broker refuses, in its order, and goes on with other topics', async () => {
    const { sender, sent, refusals, waiting, pass } = setUp(['a1', 'b1', 'a2', 'b2']);
    refusals.set('a', 'refused');
    sender.nudge();
    await pass();
    expect(sent).toEqual(['b1', 'b2']);
    expect(waiting()).toEqual(['a1', 'a2']);
    refusals.clear();
    await pass(30_000);
    expect(sent).toEqual(['b1', 'b2', 'a1', 'a2']);
  });

  it('waits where the connection is lost on the way, and goes on where it was', async () => {
    const { sender, sent, refusals, waiting, pass } = setUp(['a1', 'b1', 'a2']);
    refusals.set('b', 'link-lost');
    sender.nudge();
    await pass();
    expect(waiting()).toEqual(['b1', 'a2']);
    refusals.clear();
    await pass(2000);
    expect(sent).toEqual(['a1', 'b1', 'a2']);
  });

  it('does not run hot where the broker refuses everything', async () => {
    const names = Array.from({ length: 150 }, (_, n) => `a${n}`);
    const { sender, sent, refusals, waiting, pass } = setUp(names);
    refusals.set('a', 'refused');
    sender.nudge();
    await pass(29_000);
    expect(sent).toEqual([]);
    expect(waiting()).toHaveLength(150);
  });
});
