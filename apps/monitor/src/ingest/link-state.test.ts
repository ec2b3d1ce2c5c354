import { describe, expect, it } from 'vitest';
import { linkAtStart, type LinkEvent, type LinkStep, stepLink } from './link-state.js';

const up = (atMs: number): LinkEvent => ({ kind: 'up', atMs, sessionPresent: true });
const down = (atMs: number, detail = 'ECONNREFUSED'): LinkEvent => ({ kind: 'down', atMs, detail });

function follow(events: readonly LinkEvent[]): LinkStep[] {
  const steps: LinkStep[] = [];
  for (const event of events) steps.push(stepLink(steps.at(-1)?.link ?? linkAtStart(0), event));
  return steps;
}

describe('the link', () => {
  it('gives a row on each change of state', () => {
    expect(follow([up(1), down(20_000), up(30_000)]).map(({ row }) => row)).toEqual([
      { kind: 'link', link: 'broker', arrivedAtMs: 1, state: 'up', sessionPresent: true },
      { kind: 'link', link: 'broker', arrivedAtMs: 20_000, state: 'down', detail: 'ECONNREFUSED' },
      { kind: 'link', link: 'broker', arrivedAtMs: 30_000, state: 'up', sessionPresent: true },
    ]);
  });

  it('tells of a first attempt that fails, and not of each one after it', () => {
    const steps = follow([down(1000), down(2000), down(4000)]);
    expect(steps.map(({ row }) => row !== undefined)).toEqual([true, false, false]);
    expect(steps.at(-1)?.link.sinceMs).toBe(0);
  });

  it('tells of another reason', () => {
    const rows = follow([down(1000), down(2000, 'Connection refused: Not authorized (0x87)')]).map(
      ({ row }) => row,
    );
    expect(rows[1]).toMatchObject({ state: 'down', detail: 'Connection refused: Not authorized (0x87)' });
  });

  it('is flapping after three short lives within five minutes, as with two clients of one id, and says what to look for', () => {
    const steps = follow([up(0), down(1000), up(3000), down(5000), up(9000), down(10_000)]);
    expect(steps.map(({ link }) => link.flapping)).toEqual([false, false, false, false, false, true]);
    expect(steps.at(-1)?.row).toMatchObject({ detail: expect.stringContaining('same client id') as string });
  });

  it('is not flapping any more after a connection that lasted', () => {
    const steps = follow([
      up(0),
      down(1000),
      up(3000),
      down(5000),
      up(9000),
      down(10_000),
      up(12_000),
      down(80_000),
    ]);
    expect(steps.at(-2)?.link.flapping).toBe(true);
    expect(steps.at(-1)?.link.flapping).toBe(false);
  });

  it('is not flapping for short lives far apart', () => {
    const events = [0, 200_000, 400_000, 600_000].flatMap((atMs) => [up(atMs), down(atMs + 1000)]);
    expect(follow(events).some(({ link }) => link.flapping)).toBe(false);
  });
});
