import type { Grade, Nip } from '@edge-margin/plant';
import { describe, expect, it } from 'vitest';
import { combinedRoughnessOf, coverModulusOf, permeanceOf } from './web-properties.js';

const grade = (properties: Partial<Grade>): Grade => ({
  id: 'g',
  name: 'G',
  caliperM: 60e-6,
  caliperUncertaintyRatio: 0.02,
  floatingWrapsAllowed: 3,
  boundaryFactor: 1,
  activated: false,
  ...properties,
});

describe('the properties of a web, from the figures that a mill has', () => {
  it('takes two PPS figures for a combined rms roughness: PPS = 2.13 Ra (Enomae & Onabe 1997), Rq = 1.25 Ra (Gaussian)', () => {
    const rq = (1.25 / 2.13) * 1.2e-6;
    expect(combinedRoughnessOf(grade({ faces: [{ ppsM: 1.2e-6 }] }))).toMatchObject({ kind: 'known' });
    const roughness = combinedRoughnessOf(grade({ faces: [{ ppsM: 1.2e-6 }, { ppsM: 1.2e-6 }] })) as {
      value: number;
      uncertainty: number;
    };
    expect(roughness.value / (Math.SQRT2 * rq)).toBeCloseTo(1, 2);
    expect(roughness.uncertainty / roughness.value).toBeGreaterThan(0.2);
  });

  it('takes a Gurley time of 100 s for about 1.27 um/(Pa s) (from the apparatus: 127/t)', () => {
    expect((permeanceOf(grade({ gurleyS: 100 })) as { value: number }).value * 1e6).toBeCloseTo(1.3, 1);
  });

  it('takes Shore A for a modulus with the spread of the sources', () => {
    const modulus = coverModulusOf({
      kind: 'lay-on roller',
      rollerDiameterM: 0.2,
      coverPoissonRatio: 0.5,
      coverShoreA: 60,
    } satisfies Nip) as { value: number; uncertainty: number };
    expect(modulus.value).toBeGreaterThan(2e6);
    expect(modulus.value).toBeLessThan(6e6);
    expect(modulus.uncertainty / modulus.value).toBeGreaterThan(0.2);
  });

  it('does not know a roughness that its method cannot tell', () => {
    expect(combinedRoughnessOf(grade({ faces: [{ ppsM: 0.11e-6 }] }))).toMatchObject({ kind: 'unknown' });
  });
});
