import type { TroubleSign } from '@edge-margin/monitoring';
import { reason } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import { HealthWatch } from './health-watch.js';
import { figure, type PartReading, sign } from './part-reading.js';

/** A watch of one part whose state the test sets. */
function underTest() {
  let nowMs = 1000;
  let present: Pick<PartReading, 'state' | 'because' | 'blocks' | 'troubles'> = {
    state: 'ok',
    because: [],
    blocks: false,
    troubles: [],
  };
  const reports: TroubleSign[] = [];
  const watch = new HealthWatch({
    version: '1',
    read: () => [{ part: 'broker', figures: [figure('n', 'messages', Infinity, 'count')], ...present }],
    report: (one) => reports.push(one),
    reported: new Map(),
    alarms: () => [],
    now: () => nowMs,
    steadyMs: () => nowMs,
  });
  return {
    watch,
    reports,
    /** A look at which nobody can tell whether the trouble is there. */
    cannotTellAt: (ms: number): void => {
      nowMs = ms;
      present = {
        state: 'down',
        blocks: true,
        because: [reason('link-down', 'no connection')],
        troubles: [],
      };
      watch.look();
    },
    at: (ms: number, state: PartReading['state'], blocks = false): void => {
      nowMs = ms;
      const because = state === 'ok' ? [] : [reason('mute', 'nothing comes from 10.0.0.1:1883')];
      present = {
        state,
        blocks,
        because,
        // Five seconds on, five seconds off (own-trouble.ts).
        troubles: [sign('broker-mute', 'reached', because[0])],
      };
      watch.look();
    },
  };
}

describe('watching the parts', () => {
  it('keeps since when a part is in its state', () => {
    const { at, watch } = underTest();
    at(2000, 'ok');
    at(3000, 'degraded');
    at(4000, 'degraded');
    expect(watch.body().parts[0]).toMatchObject({ state: 'degraded', sinceMs: 3000 });
    at(5000, 'ok');
    expect(watch.body().parts[0]).toMatchObject({ state: 'ok', sinceMs: 5000 });
  });

  it('is as bad as the worst part, and does not show what is not known as a number', () => {
    const { at, watch } = underTest();
    at(2000, 'down');
    expect(watch.body()).toMatchObject({ state: 'down', parts: [{ figures: [{ value: null }] }] });
  });

  it('reports a trouble once when it has lasted, and once when it is over', () => {
    const { at, reports } = underTest();
    for (let second = 2; second < 20; second += 2) at(second * 1000, 'degraded');
    for (let second = 20; second < 40; second += 2) at(second * 1000, 'ok');
    expect(reports.map(({ trouble, stage }) => [trouble, stage])).toEqual([
      ['broker-mute', 'reached'],
      ['broker-mute', null],
    ]);
  });

  it('neither reports nor takes back a trouble while nobody can tell whether it is there', () => {
    const { at, cannotTellAt, reports } = underTest();
    for (let second = 2; second <= 10; second += 2) at(second * 1000, 'degraded');
    expect(reports).toHaveLength(1);
    at(12_000, 'ok');
    for (let second = 14; second <= 60; second += 2) cannotTellAt(second * 1000);
    // What was seen before it could not be told does not count towards the five seconds.
    at(62_000, 'ok');
    at(66_000, 'ok');
    expect(reports).toHaveLength(1);
    at(68_000, 'ok');
    expect(reports.map(({ stage }) => stage)).toEqual(['reached', null]);
  });

  it('is ready with a warning where a part is degraded, and not ready where one blocks; it shows no address', () => {
    const { at, watch } = underTest();
    at(2000, 'ok');
    expect(watch.readiness()).toEqual({ status: 'pass', because: [] });
    at(3000, 'degraded');
    expect(watch.readiness()).toEqual({
      status: 'warn',
      because: [{ part: 'broker', status: 'warn', code: 'mute', because: 'nothing comes from (address)' }],
    });
    at(4000, 'down', true);
    expect(watch.readiness()).toMatchObject({ status: 'fail', because: [{ status: 'fail' }] });
  });
});
