import { describe, expect, it } from 'vitest';
import { type CatchUp, catchUpAtStart, isHolding, stepCatchUp } from './catch-up.js';

/** A link that comes up at 0 s; then one look a second, with so many messages in each second. */
function drain(perSecond: readonly number[], pending: (second: number) => boolean = () => false): boolean[] {
  let state = stepCatchUp(catchUpAtStart(0), { kind: 'link-up', atMs: 0, messages: 0 });
  let messages = 0;
  return perSecond.map((came, index) => {
    messages += came;
    const second = index + 1;
    state = stepCatchUp(state, { kind: 'time', atMs: second * 1000, messages, pending: pending(second) });
    return isHolding(state);
  });
}
const seconds = (count: number, perSecond: number): number[] =>
  Array.from({ length: count }, () => perSecond);
const draining = (): CatchUp => stepCatchUp(catchUpAtStart(0), { kind: 'link-up', atMs: 0, messages: 0 });

describe('holding time back while the past flows in', () => {
  it('holds from the start of the process', () => {
    expect(isHolding(catchUpAtStart(0))).toBe(true);
  });

  it('ends with our own echo', () => {
    expect(isHolding(stepCatchUp(draining(), { kind: 'echo' }))).toBe(false);
  });

  it('ends 2 s after the last message', () => {
    expect(drain([5000, 5000, 100, 0, 0, 0])).toEqual([true, true, true, true, false, false]);
  });

  it('ends 2 s after connecting where nothing comes', () => {
    expect(drain([0, 0])).toEqual([true, false]);
  });

  it('does not take a disk that stands still, which silences the broker, for the end', () => {
    expect(drain([100, 0, 0, 0, 0, 0], (second) => second < 5)).toEqual([
      true,
      true,
      true,
      true,
      true,
      false,
    ]);
  });

  it('ends after a minute at the rate of a plant that is never silent', () => {
    const holding = drain(seconds(70, 240));
    expect(holding.indexOf(false)).toBe(59);
  });

  it('goes on for as long as a backlog flows at full speed', () => {
    const holding = drain([...seconds(300, 4000), ...seconds(3, 240)]);
    expect(holding.indexOf(false)).toBe(300);
  });

  it('ends 30 s after the start where there is no broker, so that silence can be noticed', () => {
    let state = catchUpAtStart(0);
    for (const atMs of [1000, 29_000])
      state = stepCatchUp(state, { kind: 'time', atMs, messages: 0, pending: false });
    expect(isHolding(state)).toBe(true);
    expect(isHolding(stepCatchUp(state, { kind: 'time', atMs: 30_000, messages: 0, pending: false }))).toBe(
      false,
    );
  });

  it('does not hold while a link that was drained is down', () => {
    const live = stepCatchUp(draining(), { kind: 'echo' });
    expect(isHolding(stepCatchUp(live, { kind: 'link-down' }))).toBe(false);
  });

  it('goes on holding for a while when the link goes down amid the backlog, and holds again when it is back', () => {
    let state = stepCatchUp(draining(), { kind: 'link-down' });
    state = stepCatchUp(state, { kind: 'time', atMs: 20_000, messages: 10, pending: false });
    expect(isHolding(state)).toBe(true);
    state = stepCatchUp(state, { kind: 'link-up', atMs: 25_000, messages: 10 });
    expect(
      isHolding(stepCatchUp(state, { kind: 'time', atMs: 26_000, messages: 9000, pending: false })),
    ).toBe(true);
  });

  it('does not hold for ever on a link that keeps going down', () => {
    let state = catchUpAtStart(0);
    let released = false;
    for (let atMs = 0; atMs < 60_000; atMs += 3000) {
      state = stepCatchUp(state, { kind: 'link-up', atMs, messages: atMs });
      state = stepCatchUp(state, { kind: 'time', atMs: atMs + 1000, messages: atMs + 1, pending: false });
      state = stepCatchUp(state, { kind: 'link-down' });
      state = stepCatchUp(state, { kind: 'time', atMs: atMs + 2000, messages: atMs + 1, pending: false });
      released ||= !isHolding(state);
    }
    expect(released).toBe(true);
  });

  it('takes an echo that comes when nothing is held for nothing', () => {
    expect(stepCatchUp(catchUpAtStart(0), { kind: 'echo' })).toEqual(catchUpAtStart(0));
  });
});
