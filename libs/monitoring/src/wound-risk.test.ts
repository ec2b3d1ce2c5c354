import { describe, expect, it } from 'vitest';
import { emptyWoundRisk, highestRisk, withRiskAt, woundRiskPoints } from './wound-risk.js';

describe('the risk wound so far', () => {
  const empty = emptyWoundRisk(0.1, 0.22);

  it('keeps the highest risk of each step of diameter', () => {
    const history = withRiskAt(withRiskAt(withRiskAt(empty, 0.1004, 0.2), 0.1006, 0.7), 0.1008, 0.1);
    expect(woundRiskPoints(history)).toEqual([{ diameterM: expect.closeTo(0.1005, 9) as number, risk: 0.7 }]);
  });

  it('fills the steps that one second of winding jumps over', () => {
    expect(woundRiskPoints(withRiskAt(empty, 0.1055, 0.3))).toHaveLength(6);
  });

  it('shows nothing where the risk was not known', () => {
    const history = withRiskAt(withRiskAt(empty, 0.1005, undefined), 0.1015, 0.4);
    expect(woundRiskPoints(history).map((point) => point.risk)).toEqual([0.4]);
    expect(highestRisk(withRiskAt(empty, 0.1005, undefined))).toBeNull();
  });

  it('stays bounded however far the roll grows beyond its planned end', () => {
    const history = withRiskAt(withRiskAt(empty, 3, 0.5), 9, 0.9);
    expect(history.perMille).toHaveLength(121);
    expect(highestRisk(history)).toBe(0.9);
  });
});
