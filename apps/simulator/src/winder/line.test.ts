import { describe, expect, it } from 'vitest';
import { advanceLine, beginLine, type LineState } from './line.js';
import { operate, UNTOUCHED } from './operator.js';
import { lengthBetween, spiralTurns } from './spiral.js';

const programme = {
  threadSpeedMPerS: 1,
  threadS: 3,
  runSpeedMPerS: 10,
  accelerationMPerS2: 2,
  setChangeS: 20,
};
const periodS = 0.2;

/** Runs one set of this length of web; one state a period. */
function ran(
  lengthM: number,
  speedRatio: (woundM: number) => number = () => 1,
): readonly (LineState & { readonly woundM: number })[] {
  const states = [{ ...beginLine(programme), woundM: 0 }];
  for (let n = 0; n < 5000; n += 1) {
    const last = states[states.length - 1]!;
    if (last.phase === 'set-change') break;
    const next = advanceLine(
      programme,
      last,
      { remainingM: lengthM - last.woundM, speedRatio: speedRatio(last.woundM) },
      periodS,
    );
    states.push({ ...next, woundM: last.woundM + ((last.speedMPerS + next.speedMPerS) / 2) * periodS });
  }
  return states;
}

describe('the line', () => {
  it('threads, runs up at its acceleration, runs, slows down, and stands within 0.1 % of the set', () => {
    const states = ran(1000);
    const phases = states.map((s) => s.phase).filter((phase, i, all) => phase !== all[i - 1]);
    expect(phases).toEqual(['thread', 'run', 'finish', 'set-change']);
    for (let i = 1; i < states.length - 1; i += 1) {
      const change = Math.abs(states[i]!.speedMPerS - states[i - 1]!.speedMPerS) / periodS;
      expect(change).toBeLessThan(1.25 * programme.accelerationMPerS2);
    }
    expect(Math.max(...states.map((s) => s.speedMPerS))).toBe(10);
    expect(Math.abs(states[states.length - 1]!.woundM / 1000 - 1)).toBeLessThan(0.001);
  });

  it('holds the thread speed for the thread time, and stands for the set change', () => {
    const states = ran(1000);
    expect(states.filter((s) => s.phase === 'thread').length * periodS).toBeCloseTo(3, 9);
    let state: LineState = states[states.length - 1]!;
    let periods = 0;
    for (; state.phase === 'set-change'; periods += 1)
      state = advanceLine(programme, state, { remainingM: 1000, speedRatio: 1 }, periodS);
    expect(periods * periodS).toBeCloseTo(20, 9);
  });

  it('follows the operator down and up again', () => {
    const states = ran(1000, (woundM) => (woundM > 300 && woundM < 600 ? 0.5 : 1));
    expect(states.find((s) => s.woundM > 400)?.speedMPerS).toBe(5);
    expect(states.find((s) => s.woundM > 700)?.speedMPerS).toBe(10);
  });

  it('ends a set too short to reach its speed', () => {
    const states = ran(5);
    expect(states[states.length - 1]?.phase).toBe('set-change');
    expect(Math.abs(states[states.length - 1]!.woundM - 5)).toBeLessThan(0.5);
  });
});

describe('the operator', () => {
  const script = [
    { at: { diameterM: 0.2 }, speedRatio: 0.7, chance: 1 },
    { at: { afterS: 50 }, nipLoadRatio: 1.2, chance: 1 },
    { at: { diameterM: 0.3 }, speedRatio: 1, chance: 1 },
  ];

  it('does each action once, when its diameter or time is reached, and leaves the rest as it was', () => {
    const before = operate(script, UNTOUCHED, { diameterM: 0.19, ageS: 10 });
    expect(before).toEqual(UNTOUCHED);
    const slowed = operate(script, before, { diameterM: 0.2, ageS: 20 });
    expect(slowed).toEqual({ done: [0], speedRatio: 0.7, nipLoadRatio: 1 });
    const pressed = operate(script, slowed, { diameterM: 0.19, ageS: 60 });
    expect(pressed).toEqual({ done: [0, 1], speedRatio: 0.7, nipLoadRatio: 1.2 });
    expect(operate(script, pressed, { diameterM: 0.31, ageS: 70 }).speedRatio).toBe(1);
  });
});

describe('the spiral', () => {
  it('makes as many turns as the sum of its wraps says (own arithmetic, wrap by wrap; 1e-6)', () => {
    const layerM = 60e-6;
    let [lengthM, radiusM] = [0, 0.05];
    for (let n = 0; n < 5000; n += 1) {
      lengthM += 2 * Math.PI * (radiusM + layerM / 2);
      radiusM += layerM;
    }
    expect(Math.abs(spiralTurns({ radiusM: 0.05, layerM, lengthM }) / 5000 - 1)).toBeLessThan(1e-6);
    expect(Math.abs(lengthBetween(0.1, 2 * radiusM, layerM) / lengthM - 1)).toBeLessThan(1e-9);
  });

  // D^2 = D0^2 + 4 h L/pi; own arithmetic, spiral sum agrees to 2e-9; rows are rounded, hence 3e-6
  it.each([
    [0.076, 12e-6, 6000, 0.312169, 9840.36],
    [0.1, 60e-6, 10000, 0.879741, 6497.84],
    [0.096, 6.5e-6, 3000, 0.184511, 6808.51],
  ])(
    'from %d m with %d m layers takes up %d m to %d m in %d layers',
    (core, layerM, lengthM, diameterM, layers) => {
      const turns = spiralTurns({ radiusM: core / 2, layerM, lengthM });
      expect(Math.abs(turns / layers - 1)).toBeLessThan(3e-6);
      expect(Math.abs((core + 2 * layerM * turns) / diameterM - 1)).toBeLessThan(3e-6);
      expect(Math.abs(lengthBetween(core, diameterM, layerM) / lengthM - 1)).toBeLessThan(1e-5);
    },
  );
});
