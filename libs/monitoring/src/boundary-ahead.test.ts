import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { boundaryAhead, diameterAt, instantAt, type Outlook, riskAhead } from './boundary-ahead.js';

/** Critical speed falls with diameter as D^-0.4 from `criticalAt1M` at 1 m: the shape that a lay-on roller gives (own derivation). */
const outlook = (changes: Partial<Outlook> & { readonly criticalAt1M?: number } = {}): Outlook => {
  const { criticalAt1M = 33, ...rest } = changes;
  const speed = rest.speedMPerS ?? 34;
  return {
    nowMs: 1_000_000,
    diameterM: 0.5,
    setEndDiameterM: 1.2,
    layerThicknessM: 50e-6,
    speedMPerS: speed,
    speedShareAt: (d) => speed / (criticalAt1M * d ** -0.4),
    shareUncertaintyRatio: 0.02,
    otherChance: 0,
    riskLimit: 0.5,
    ...rest,
  };
};

describe('the boundary ahead', () => {
  it('lies where the critical speed falls to the speed: D = (Vc/V)^(1/0.4) for the power law', () => {
    expect(boundaryAhead(outlook())?.expected.diameterM).toBeCloseTo((33 / 34) ** 2.5, 4);
  });

  it('comes at the time that D^2 = D0^2 + 4 h L / pi gives', () => {
    const found = boundaryAhead(outlook());
    const d = found?.expected.diameterM ?? 0;
    const lengthM = (Math.PI * (d ** 2 - 0.25)) / (4 * 50e-6);
    expect(((found?.expected.atMs ?? 0) - 1_000_000) / 1000).toBeCloseTo(lengthM / 34, 2);
  });

  it('is looked for hardly beyond the end of the set where none comes before it', () => {
    let furthestM = 0;
    const slow = outlook({
      speedMPerS: 20,
      speedShareAt: (d) => ((furthestM = Math.max(furthestM, d)), 0.5),
    });
    expect(boundaryAhead(slow)).toBeNull();
    expect(furthestM).toBeGreaterThanOrEqual(1.2);
    expect(furthestM).toBeLessThan(1.23);
  });

  it('gives a band that a 2 % uncertainty of the critical speed opens to about 6 % of diameter either way', () => {
    const found = boundaryAhead(outlook());
    expect((found?.earliest.diameterM ?? 0) / (found?.expected.diameterM ?? 1)).toBeCloseTo(
      (1 / 1.0256) ** 2.5,
      2,
    );
    expect((found?.latest?.diameterM ?? 0) / (found?.expected.diameterM ?? 1)).toBeCloseTo(
      1 / (1 - 0.0256) ** 2.5,
      2,
    );
  });

  it('is nothing where the roll stays clear to its end', () => {
    expect(boundaryAhead(outlook({ criticalAt1M: 60 }))).toBeNull();
    expect(boundaryAhead(outlook({ speedShareAt: () => 0 }))).toBeNull();
  });

  it('is now where the boundary has been passed', () => {
    expect(boundaryAhead(outlook({ criticalAt1M: 20 }))?.expected).toEqual({
      diameterM: 0.5,
      atMs: 1_000_000,
    });
  });

  it('keeps earliest, expected and latest in order, whatever the uncertainty', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.001, max: 0.6, noNaN: true }),
        fc.double({ min: 20, max: 60, noNaN: true }),
        (u, critical) => {
          const found = boundaryAhead(outlook({ shareUncertaintyRatio: u, criticalAt1M: critical }));
          if (found === null) return;
          expect(found.earliest.diameterM).toBeLessThanOrEqual(found.expected.diameterM);
          if (found.latest !== null)
            expect(found.expected.diameterM).toBeLessThanOrEqual(found.latest.diameterM);
        },
      ),
    );
  });

  it('has a risk of one half exactly at the expected boundary', () => {
    const o = outlook();
    const d = boundaryAhead(o)?.expected.diameterM ?? 0;
    expect(riskAhead({ ...o, diameterM: d, setEndDiameterM: d + 0.01 })[0]?.risk).toBeCloseTo(0.5, 2);
  });

  it('turns a time into a diameter and back', () => {
    const o = outlook();
    expect(diameterAt(o, instantAt(o, 0.8).atMs)).toBeCloseTo(0.8, 5);
  });

  it('adds the chance of the other mechanisms as independent', () => {
    const still = riskAhead(outlook({ speedShareAt: () => 0, otherChance: 0.3 }));
    expect(still.every((point) => Math.abs(point.risk - 0.3) < 1e-12)).toBe(true);
  });
});
