import { type Known, type Quantity, known, reason, unknown } from '@edge-margin/units';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { contactLossRatio } from './contact-loss.js';
import { swingAtNip } from './inboard-mass.js';
import { loadSwing } from './load-swing.js';
import { nipBounce } from './nip-bounce.js';
import { type NipEndMeasured, type NipSetting, nipEndBounce } from './nip-end-bounce.js';
import { staticForceAtEnd } from './static-force.js';

const stale = unknown(reason('stale', 'no reading for 12 s', { forS: 12 }));
const missing = unknown(reason('missing', 'no reading yet'));
const told = (quantity: Quantity): Known => {
  if (quantity.kind === 'unknown') throw new Error(quantity.because.text);
  return quantity;
};
const codeOf = (quantity: Quantity) => (quantity.kind === 'unknown' ? quantity.because.code : 'known');

/** 1500 N per end: 1500 N/m on 2 m of web. */
const setting: NipSetting = {
  contactWidthM: 2,
  effectiveMassPerEndKg: 200,
  staticForcePerEndN: undefined,
  standing: false,
  limits: { contactLossRatio: 0.8, swingRatio: 0.3 },
};
const quiet: NipEndMeasured = {
  end: 'both',
  peakAccelerationMPerS2: known(1.5, 0.05),
  nipLoadNPerM: known(1500, 15),
  swingRatio: known(0.06, 0.01),
};

describe('way to contact loss', () => {
  it('agrees with a table by own arithmetic: once-per-turn run-out on a rigid contact', () => {
    for (const { massKg, eccentricityM, speed, diameter, force, B } of [
      { massKg: 200, eccentricityM: 0.5e-3, speed: 20, diameter: 0.5, force: 1500, B: 0.42667 },
      { massKg: 80, eccentricityM: 0.2e-3, speed: 10, diameter: 0.3, force: 600, B: 0.11852 },
      { massKg: 200, eccentricityM: 0.5e-3, speed: 30.619, diameter: 0.5, force: 1500, B: 1 },
    ]) {
      const peakAccelerationMPerS2 = known(eccentricityM * ((2 * speed) / diameter) ** 2);
      const ratio = contactLossRatio({
        peakAccelerationMPerS2,
        effectiveMassKg: massKg,
        staticForceN: known(force),
        swingRatio: missing,
        standing: false,
      });
      // Five figures in the table.
      expect(Math.abs(told(ratio).value / B - 1)).toBeLessThan(3e-5);
    }
  });

  it('carries the uncertainty of acceleration, mass and force', () => {
    const ratio = contactLossRatio({
      peakAccelerationMPerS2: known(3, 0.15),
      effectiveMassKg: 200,
      staticForceN: known(1500, 60),
      swingRatio: missing,
      standing: false,
    });
    expect(told(ratio).uncertainty).toBeCloseTo(0.4 * Math.hypot(0.05, 0.1, 0.04), 12);
  });

  it('says why it is not known', () => {
    const input = {
      peakAccelerationMPerS2: known(3),
      effectiveMassKg: 200,
      staticForceN: known(1500),
      swingRatio: missing,
      standing: false,
    };
    expect(contactLossRatio({ ...input, peakAccelerationMPerS2: stale })).toBe(stale);
    expect(codeOf(contactLossRatio({ ...input, effectiveMassKg: undefined }))).toBe('no-effective-mass');
    expect(contactLossRatio({ ...input, staticForceN: missing })).toBe(missing);
  });
});

describe('an acceleration of the wrong sign', () => {
  const at = (peak: Known, swing: Quantity, standing = false) =>
    contactLossRatio({
      peakAccelerationMPerS2: peak,
      effectiveMassKg: 200,
      staticForceN: known(1500),
      swingRatio: swing,
      standing,
    });

  it('gives no reassurance: a negative peak is refused, whether or not the load swings', () => {
    for (const swing of [known(0.4), known(0.01), missing]) {
      expect(codeOf(at(known(-3.2, 0.1), swing))).toBe('acceleration-sign-suspicious');
    }
    expect(codeOf(at(known(-3.2, 0.1), known(0), true))).toBe('acceleration-sign-suspicious');
  });

  it('gives none either where it stays at zero while the load swings, or where nothing else tells', () => {
    expect(codeOf(at(known(0), known(0.2)))).toBe('acceleration-sign-suspicious');
    expect(codeOf(at(known(-0.01, 0.01), known(0.2)))).toBe('acceleration-sign-suspicious');
    expect(codeOf(at(known(0), missing))).toBe('acceleration-unconfirmed');
  });

  it('is no acceleration of the wrong sign at rest', () => {
    expect(at(known(0), known(0.01))).toEqual(known(0));
    expect(at(known(0, 0.02), missing, true)).toMatchObject({ kind: 'known', value: 0 });
  });

  it('leaves the swing to be watched, and says that contact loss is not', () => {
    const bounce = nipBounce(
      [{ ...quiet, peakAccelerationMPerS2: known(-3.2, 0.1), swingRatio: known(0.43, 0.02) }],
      setting,
    );
    expect(told(bounce.indicatorRatio).value).toBeCloseTo(0.43 / 0.3, 12);
    expect(bounce.ends[0]!.notSeen.map(({ code }) => code)).toEqual(['acceleration-sign-suspicious']);
    expect(told(bounce.inHandRatio).value).toBeLessThan(0);
  });

  it('makes the nip not watched where there is no swing either', () => {
    const bounce = nipBounce(
      [{ ...quiet, peakAccelerationMPerS2: known(-3.2, 0.1), swingRatio: missing }],
      setting,
    );
    expect(bounce).toMatchObject({
      watched: false,
      because: { code: 'acceleration-sign-suspicious' },
      inHandRatio: { kind: 'unknown' },
      chanceAboveLimit: { kind: 'unknown' },
    });
  });
});

describe('static force at one end', () => {
  it('is half of the load on the width of web under the nip', () => {
    expect(staticForceAtEnd({ nipLoadNPerM: known(3000, 30), contactWidthM: 2.4 })).toEqual(known(3600, 36));
  });

  it('is the given force where there is one', () => {
    expect(
      told(staticForceAtEnd({ nipLoadNPerM: missing, contactWidthM: 2, staticForcePerEndN: 1500 })).value,
    ).toBe(1500);
  });

  it('is none where the nip is open, given force or not, or where the load tells nothing', () => {
    for (const load of [0, -20, 0.1]) {
      expect(codeOf(staticForceAtEnd({ nipLoadNPerM: known(load, 5), contactWidthM: 2 }))).toBe('nip-open');
      expect(
        codeOf(
          staticForceAtEnd({ nipLoadNPerM: known(load, 5), contactWidthM: 2, staticForcePerEndN: 1500 }),
        ),
      ).toBe('nip-open');
    }
    expect(codeOf(staticForceAtEnd({ nipLoadNPerM: known(4, 5), contactWidthM: 2 }))).toBe(
      'nip-load-too-small',
    );
    expect(staticForceAtEnd({ nipLoadNPerM: stale, contactWidthM: 2 })).toBe(stale);
    expect(() => staticForceAtEnd({ nipLoadNPerM: stale, contactWidthM: 0 })).toThrow(
      'contactWidthM: a finite number > 0 m is needed, got 0 m',
    );
  });
});

describe('swing of the nip load', () => {
  const swingOf = (loads: readonly number[], uncertaintyNPerM = 0) =>
    loadSwing({
      meanNPerM: loads.reduce((sum, load) => sum + load, 0) / loads.length,
      minimumNPerM: Math.min(...loads),
      sampleCount: loads.length,
      uncertaintyNPerM,
    });

  it('is how far the smallest sample lies below the mean', () => {
    expect(told(swingOf([1000, 1200, 800, 1000, 1000])).value).toBeCloseTo(0.2, 12);
    expect(told(swingOf([1000, 1000, 1000, 1000, 1000], 20)).uncertainty).toBeCloseTo(
      0.02 * Math.sqrt(1.2),
      12,
    );
  });

  it('is not told by fewer than five samples, and not at all by an open nip', () => {
    expect(codeOf(swingOf([1000, 600, 1400, 1000]))).toBe('too-few-load-samples');
    expect(codeOf(swingOf([0, 0, -5, 0, 0]))).toBe('nip-open');
  });

  it('is underestimated by sampling: 92 % at the median of five random phases, 15 % or less in one block of twenty; nothing in step with it', () => {
    let state = 7;
    const uniform = () => ((state = (state * 1664525 + 1013904223) % 4294967296) + 0.5) / 4294967296;
    // The share of the trough met: the mean is the true one here, as over a long block.
    const shares = Array.from({ length: 20_000 }, () =>
      Math.max(...Array.from({ length: 5 }, () => -Math.cos(2 * Math.PI * uniform()))),
    ).sort((a, b) => a - b);
    expect(shares[10_000]!).toBeCloseTo(Math.cos(Math.PI * (1 - 2 ** (-1 / 5))), 2);
    expect(shares[10_000]!).toBeCloseTo(0.92, 2);
    // One block in twenty: a share as steep as this one has a sampling error of about 0.01.
    expect(Math.abs(shares[1000]! - 0.15)).toBeLessThan(0.04);
    const inStep = Array.from({ length: 10 }, (_, k) => 1000 + 500 * Math.sin(2 * Math.PI * 10 * k * 0.1));
    expect(told(swingOf(inStep)).value).toBeLessThan(1e-9);
  });

  it('shows scatter as swing, 1.2 deviations with five samples and 2.5 with a hundred', () => {
    let state = 11;
    const uniform = () => ((state = (state * 1664525 + 1013904223) % 4294967296) + 0.5) / 4294967296;
    const gaussian = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
    for (const [count, deviations] of [
      [5, 1.2],
      [100, 2.5],
    ] as const) {
      const swings = Array.from(
        { length: 2000 },
        () => told(swingOf(Array.from({ length: count }, () => 1000 + 10 * gaussian()))).value,
      );
      expect(
        Math.abs(swings.reduce((sum, swing) => sum + swing, 0) / swings.length / 0.01 - deviations),
      ).toBeLessThan(0.06);
    }
  });

  it('is four times what an outboard cell shows with 150 of 200 kg inboard: 25 % in the cell is lift-off', () => {
    expect(swingAtNip(known(0.25, 0.01), 200, 150)).toEqual(known(1, 0.04));
    const bounce = nipEndBounce(
      { ...quiet, peakAccelerationMPerS2: missing, swingRatio: known(0.25, 0.005) },
      { ...setting, inboardMassPerEndKg: 150 },
    );
    expect(bounce.contactLost).toBe(true);
    expect(bounce.evidence.code).toBe('contact-lost-by-swing');
    expect(() => swingAtNip(known(0.25), 200, 200)).toThrow(/inboardMassKg/);
  });

  it('is not known where mass lies inboard and the plant file gives no mass', () => {
    const bounce = nipEndBounce(
      { ...quiet, peakAccelerationMPerS2: missing },
      { ...setting, inboardMassPerEndKg: 150, effectiveMassPerEndKg: undefined },
    );
    expect(codeOf(bounce.swingRatio)).toBe('no-effective-mass');
  });
});

describe('bounce at one end', () => {
  it('is the larger of contact loss and swing, each as a share of its limit', () => {
    const byLoss = nipEndBounce({ ...quiet, peakAccelerationMPerS2: known(4.5, 0.1) }, setting);
    expect(told(byLoss.indicatorRatio).value).toBeCloseTo(0.6 / 0.8, 12);
    expect(byLoss.because.code).toBe('contact-loss');
    const bySwing = nipEndBounce({ ...quiet, swingRatio: known(0.27, 0.01) }, setting);
    expect(told(bySwing.indicatorRatio)).toMatchObject({
      value: expect.closeTo(0.9, 12),
      uncertainty: expect.closeTo(0.01 / 0.3, 12),
    });
    expect(bySwing.because).toMatchObject({ code: 'load-swing', text: 'nip load swings by 27 % of its mean, limit 30 %' });
  });

  it('takes the chance of the one more likely beyond its limit, though the other be larger', () => {
    // Swing: 0.9 of its limit, hardly uncertain. Contact loss: 0.85 of its limit, widely uncertain.
    const bounce = nipEndBounce(
      { ...quiet, peakAccelerationMPerS2: known(5.1, 1.5), swingRatio: known(0.27, 0.003) },
      setting,
    );
    expect(told(bounce.indicatorRatio).value).toBeCloseTo(0.9, 12);
    expect(told(bounce.chanceAboveLimit).value).toBeGreaterThan(0.2);
  });

  it('is one half likely beyond its limit at the limit', () => {
    const bounce = nipEndBounce({ ...quiet, swingRatio: known(0.3, 0.02) }, setting);
    expect(told(bounce.chanceAboveLimit).value).toBeCloseTo(0.5, 12);
  });

  it('calls lift-off likely where the contact-loss ratio lies within its uncertainty of 1, because it saturates there', () => {
    // Free flight clips at F/m = 7.5 m/s2; a force that is 10 % too large makes 0.91 of it.
    const bounce = nipEndBounce(
      { ...quiet, peakAccelerationMPerS2: known(7.5), nipLoadNPerM: known(1650, 100) },
      setting,
    );
    expect(told(bounce.contactLossRatio).value).toBeCloseTo(0.909, 3);
    expect(bounce).toMatchObject({ contactLost: true, evidence: { code: 'contact-lost-by-acceleration' } });
    expect(bounce.evidence.text).toContain('clipping and one-sidedness cannot be seen');
    expect(nipEndBounce(quiet, setting)).toMatchObject({
      contactLost: false,
      evidence: { code: 'no-sign-of-lift-off' },
    });
  });

  it('does not call it likely only because little is known', () => {
    const vague = nipEndBounce({ ...quiet, peakAccelerationMPerS2: known(5, 4) }, setting);
    expect(told(vague.contactLossRatio).uncertainty).toBeGreaterThan(0.35);
    expect(vague.contactLost).toBe(false);
  });

  it('is none of an open nip', () => {
    const bounce = nipEndBounce({ ...quiet, nipLoadNPerM: known(0, 5) }, setting);
    expect(bounce.nipOpen).toBe(true);
    expect(
      [bounce.contactLossRatio, bounce.swingRatio, bounce.indicatorRatio, bounce.chanceAboveLimit].map(
        codeOf,
      ),
    ).toEqual(Array(4).fill('nip-open'));
  });

  it('passes on why nothing is known', () => {
    const bounce = nipEndBounce(
      { end: 'drive', peakAccelerationMPerS2: stale, nipLoadNPerM: missing, swingRatio: missing },
      setting,
    );
    expect(bounce).toMatchObject({
      because: { code: 'stale' },
      notSeen: [{ code: 'stale' }, { code: 'missing' }],
      contactLost: false,
      evidence: { code: 'contact-not-watched' },
    });
  });

  it('watches by the swing alone where the plant file gives no mass, and says so', () => {
    const bounce = nipEndBounce(quiet, { ...setting, effectiveMassPerEndKg: undefined });
    expect(told(bounce.indicatorRatio).value).toBeCloseTo(0.2, 12);
    expect(bounce.notSeen.map(({ code }) => code)).toEqual(['no-effective-mass']);
  });
});

describe('bounce over both ends', () => {
  /** Loads at the two ends in antiphase: their mean does not move at all. */
  const phases = Array.from({ length: 50 }, (_, k) => Math.sin((2 * Math.PI * k) / 50));
  const swinging = (sign: 1 | -1) => {
    const loads = phases.map((phase) => 1500 * (1 + sign * 0.4 * phase));
    return loadSwing({
      meanNPerM: 1500,
      minimumNPerM: Math.min(...loads),
      sampleCount: 50,
      uncertaintyNPerM: 5,
    });
  };

  it('is not averaged away: ends that rock in antiphase count as each of them does', () => {
    const ends = [
      { ...quiet, end: 'tending' as const, swingRatio: swinging(1) },
      { ...quiet, end: 'drive' as const, swingRatio: swinging(-1) },
    ];
    const bounce = nipBounce(ends, setting);
    expect(told(bounce.indicatorRatio).value).toBeCloseTo(0.4 / 0.3, 2);
    expect(told(bounce.inHandRatio).value).toBeCloseTo(1 - 0.4 / 0.3, 2);
    expect(told(bounce.chanceAboveLimit).value).toBeGreaterThan(0.99);
    const mean = phases.map((phase) => (1500 * (1 + 0.4 * phase) + 1500 * (1 - 0.4 * phase)) / 2);
    expect(Math.max(...mean) - Math.min(...mean)).toBeLessThan(1e-9);
  });

  it('is that of the worse end, and names it', () => {
    const bounce = nipBounce(
      [
        { ...quiet, end: 'tending' },
        { ...quiet, end: 'drive', swingRatio: known(0.24, 0.01) },
      ],
      setting,
    );
    expect(bounce).toMatchObject({
      watched: true,
      because: {
        code: 'load-swing',
        text: 'drive side: nip load swings by 24 % of its mean, limit 30 %',
        params: { end: 'drive' },
      },
    });
    expect(told(bounce.inHandRatio).value).toBeCloseTo(0.2, 12);
  });

  it('is not watched where one end is not seen, unless the other is beyond its limit', () => {
    const blind: NipEndMeasured = {
      end: 'drive',
      peakAccelerationMPerS2: stale,
      nipLoadNPerM: stale,
      swingRatio: stale,
    };
    const one = nipBounce([{ ...quiet, end: 'tending' }, blind], setting);
    expect(one).toMatchObject({
      watched: false,
      because: { code: 'stale', text: 'drive side: no reading for 12 s' },
      inHandRatio: { kind: 'unknown' },
    });
    const other = nipBounce([{ ...quiet, end: 'tending', swingRatio: known(0.4, 0.01) }, blind], setting);
    expect(other).toMatchObject({ watched: true, because: { code: 'load-swing' } });
  });

  it('says that the nip is open', () => {
    const open = nipBounce([{ ...quiet, nipLoadNPerM: known(0) }], setting);
    expect(open).toMatchObject({
      watched: false,
      nipOpen: true,
      contactLost: false,
      because: { code: 'nip-open' },
    });
  });

  it('is held at -1 in hand, while indicator and chance go on', () => {
    const bounce = nipBounce([{ ...quiet, swingRatio: known(0.95, 0.01) }], setting);
    expect(told(bounce.inHandRatio).value).toBe(-1);
    expect(told(bounce.indicatorRatio).value).toBeCloseTo(0.95 / 0.3, 12);
    expect(bounce.contactLost).toBe(true);
  });

  it('needs an end', () => {
    expect(() => nipBounce([], setting)).toThrow(/ends/);
  });

  it('never has more in hand than its worst end, and never shows a number that is none', () => {
    const quantity = (min: number, max: number) =>
      fc.oneof(
        {
          weight: 4,
          arbitrary: fc
            .tuple(fc.double({ min, max, noNaN: true }), fc.double({ min: 0, max: max / 10, noNaN: true }))
            .map(([v, u]) => known(v, u)),
        },
        { weight: 1, arbitrary: fc.constant(missing) },
      );
    const anyEnd = fc.record({
      end: fc.constantFrom('tending' as const, 'drive' as const),
      peakAccelerationMPerS2: quantity(-1, 20),
      nipLoadNPerM: quantity(-100, 5000),
      swingRatio: quantity(0, 1),
    });
    fc.assert(
      fc.property(fc.array(anyEnd, { minLength: 1, maxLength: 2 }), fc.boolean(), (ends, standing) => {
        const bounce = nipBounce(ends, { ...setting, standing });
        for (const end of bounce.ends) {
          if (bounce.indicatorRatio.kind === 'known' && end.indicatorRatio.kind === 'known') {
            expect(bounce.indicatorRatio.value).toBeGreaterThanOrEqual(end.indicatorRatio.value);
          }
        }
        expect(bounce.watched).toBe(bounce.inHandRatio.kind === 'known');
        if (bounce.watched) expect(told(bounce.inHandRatio).value).toBeLessThanOrEqual(1);
        if (!bounce.watched) expect(codeOf(bounce.chanceAboveLimit)).toBe(bounce.because.code);
      }),
    );
  });
});
