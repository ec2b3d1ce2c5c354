import { describe, expect, it } from 'vitest';
import { hashLanes } from './hash-lanes.js';

const limits = { atOnce: 1, waiting: { familiar: 3, unfamiliar: 4 }, waitingPerAddress: 2 };

/** Work that ends when it is told to. */
function held(log: string[], name: string): { readonly work: () => Promise<void>; readonly end: () => void } {
  let end = (): void => undefined;
  const ended = new Promise<void>((resolve) => (end = resolve));
  return {
    work: () => {
      log.push(name);
      return ended;
    },
    end: () => end(),
  };
}

describe('the lanes before the password hashes', () => {
  it('run so many at once and let people who are known go first', async () => {
    const lanes = hashLanes(limits);
    const log: string[] = [];
    const first = held(log, 'first');
    const running = [
      lanes.run('unfamiliar', 'a', first.work),
      lanes.run('unfamiliar', 'b', async () => void log.push('unfamiliar')),
      lanes.run('familiar', 'c', async () => void log.push('familiar')),
    ];
    await Promise.resolve();
    expect(log).toEqual(['first']);
    first.end();
    await Promise.all(running);
    expect(log).toEqual(['first', 'familiar', 'unfamiliar']);
  });

  it('have no more room than they say, for one address and in all, and room again afterwards', async () => {
    const lanes = hashLanes(limits);
    const first = held([], 'first');
    const running = [lanes.run('familiar', 'x', first.work)];
    for (const address of ['a', 'a']) running.push(lanes.run('unfamiliar', address, async () => undefined));
    expect(lanes.hasRoom('unfamiliar', 'a')).toBe(false);
    expect(lanes.hasRoom('unfamiliar', 'b')).toBe(true);
    for (const address of ['b', 'b']) running.push(lanes.run('unfamiliar', address, async () => undefined));
    expect(lanes.hasRoom('unfamiliar', 'c')).toBe(false);
    expect(lanes.hasRoom('familiar', 'a')).toBe(true);
    first.end();
    await Promise.all(running);
    expect(lanes.hasRoom('unfamiliar', 'a')).toBe(true);
  });

  it('go on after work that failed', async () => {
    const lanes = hashLanes(limits);
    await expect(lanes.run('familiar', 'a', () => Promise.reject(new Error('no')))).rejects.toThrow('no');
    expect(await lanes.run('familiar', 'a', async () => 7)).toBe(7);
  });
});
