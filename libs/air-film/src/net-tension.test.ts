import { describe, expect, it } from 'vitest';
import { netTension, tensionIsSpent } from './net-tension.js';

describe('the tension that presses the web on the roll', () => {
  it('is the tension less mass per area times speed squared', () => {
    // Own arithmetic: 0.045 kg/m2 at 40 m/s take 72 N/m.
    expect(netTension({ tensionNPerM: 300, grammageKgPerM2: 0.045 }, 40)).toBeCloseTo(228, 10);
  });

  it('is the whole tension where the mass is not known', () => {
    expect(netTension({ tensionNPerM: 300, grammageKgPerM2: 0 }, 40)).toBe(300);
  });

  it('never goes below a hundredth of the tension, and says so', () => {
    const tissue = { tensionNPerM: 30, grammageKgPerM2: 0.016 };
    expect(netTension(tissue, 60)).toBeCloseTo(0.3, 10);
    expect(tensionIsSpent(tissue, 60)).toBe(true);
    expect(tensionIsSpent(tissue, 40)).toBe(false);
  });
});
