import { describe, expect, it } from 'vitest';
import type { AirPoint } from './air-point.js';
import { assessAir } from './assess-air.js';
import { lwcPoint } from './fixtures/example-points.js';

const { nip } = lwcPoint;
const drum = { ...nip, rollerDiameterM: 0.8, loadNPerM: 4000, whereWebArrives: true };
const rider = { ...nip, rollerDiameterM: 0.3, loadNPerM: 1500 };
const withNips = (nips: AirPoint['nips'] & object): AirPoint => ({ ...lwcPoint, nip: null, nips });

describe('several nips on one roll', () => {
  it('let in what the one where the web arrives lets in, whatever their order', () => {
    const alone = assessAir({ ...lwcPoint, nip: { ...nip, rollerDiameterM: 0.8, loadNPerM: 4000 } });
    for (const nips of [
      [drum, rider],
      [rider, drum],
    ]) {
      const several = assessAir(withNips(nips));
      expect(several.airFilm).toEqual(alone.airFilm);
      expect(several.criticalSpeedMPerS).toEqual(alone.criticalSpeedMPerS);
    }
  });

  it('name the others, and do not count them', () => {
    expect(assessAir(withNips([drum, rider, rider])).furtherNips).toMatchObject({
      code: 'further-nips',
      params: { count: 2 },
    });
    expect(assessAir(withNips([drum, { ...rider, loadNPerM: 0 }]))).not.toHaveProperty('furtherNips');
    expect(assessAir(lwcPoint)).not.toHaveProperty('furtherNips');
  });

  it('hold no air back where the web arrives at none of them', () => {
    const assessment = assessAir(withNips([rider]));
    expect(assessment.airFilm).toEqual(assessAir({ ...lwcPoint, nip: null }).airFilm);
    expect(assessment.furtherNips?.params['count']).toBe(1);
  });

  it('are refused beside a single nip, and with the web arriving twice', () => {
    expect(() => assessAir({ ...withNips([rider]), nip })).toThrow(/one of them is needed, got both/);
    expect(() => assessAir(withNips([drum, drum]))).toThrow(/at most one nip where the web arrives/);
  });
});
