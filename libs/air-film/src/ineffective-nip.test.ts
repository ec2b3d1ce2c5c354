import { describe, expect, it } from 'vitest';
import { assessAir } from './assess-air.js';
import { lwcPoint } from './fixtures/example-points.js';
import type { NipShares } from './air-point.js';
import { unpressedLanes } from './nip-load/index.js';

const withShares = (nipShares: NipShares) => assessAir({ ...lwcPoint, nipShares });
const open = assessAir({ ...lwcPoint, nip: null });

describe('a nip that works only in part', () => {
  it('leaves a share with the film, critical speed and margin of no nip, and the rest as it is', () => {
    const { ineffectiveNip, airFilm, marginRatio } = withShares({ contactLostRatio: 0.02 });
    expect(ineffectiveNip).toMatchObject({ lengthShareRatio: 0.02, widthShareRatio: 1 });
    expect(ineffectiveNip!.filmM).toBe(open.airFilm.woundInM);
    expect(ineffectiveNip!.criticalSpeedMPerS).toMatchObject({
      kind: 'known',
      value: open.criticalSpeedMPerS.kind === 'known' ? open.criticalSpeedMPerS.value : Number.NaN,
    });
    expect(ineffectiveNip!.marginRatio).toMatchObject({ kind: 'known' });
    // No average: the effective share is that of a nip that always works.
    const whole = assessAir(lwcPoint);
    expect(airFilm).toEqual(whole.airFilm);
    expect(marginRatio).toEqual(whole.marginRatio);
  });

  it('takes contact loss at one end as half of the width, and names the end', () => {
    const { ineffectiveNip } = withShares({
      contactLostRatio: { tendingSideRatio: 0, driveSideRatio: 0.05 },
    });
    expect(ineffectiveNip).toMatchObject({ lengthShareRatio: 0.05, widthShareRatio: 0.5 });
    expect(ineffectiveNip!.because.map(({ text }) => text)).toEqual([
      'the nip leaves the roll at the drive side for 5 % of the time',
    ]);
    const both = withShares({ contactLostRatio: { tendingSideRatio: 0.1, driveSideRatio: 0.05 } });
    expect(both.ineffectiveNip).toMatchObject({ lengthShareRatio: 0.1, widthShareRatio: 1 });
  });

  it('takes a lane that it does not reach for the whole length, and a web that touches before it for everything', () => {
    expect(withShares({ uncoveredWidthRatio: 0.25 }).ineffectiveNip).toMatchObject({
      lengthShareRatio: 1,
      widthShareRatio: 0.25,
      because: [{ code: 'nip-not-reaching' }],
    });
    expect(withShares({ webTouchesBeforeNip: true }).ineffectiveNip).toMatchObject({
      lengthShareRatio: 1,
      widthShareRatio: 1,
      because: [{ code: 'web-touches-before-nip' }],
    });
  });

  it('names every cause', () => {
    const { ineffectiveNip } = withShares({ contactLostRatio: 0.001, uncoveredWidthRatio: 0.1 });
    expect(ineffectiveNip).toMatchObject({ lengthShareRatio: 1, widthShareRatio: 1 });
    expect(ineffectiveNip!.because.map(({ code }) => code)).toEqual(['nip-contact-lost', 'nip-not-reaching']);
    expect(ineffectiveNip!.because[0]!.text).toMatch(/0\.1 % of the time/);
  });

  it('takes the lanes that have fallen behind as they were found', () => {
    // Own arithmetic e D/4: 0.5 % thinner lies 1.25 mm lower at 1 m, a quarter of the width; the cover is pressed in by 0.14 mm.
    const lanes = unpressedLanes({
      lanes: [
        { widthRatio: 3, caliperDeviationRatio: 0 },
        { widthRatio: 1, caliperDeviationRatio: -0.005 },
      ],
      rollDiameterM: 1,
      indentationM: 0.14e-3,
    });
    expect(withShares({ woundWithoutNip: [lanes] }).ineffectiveNip).toMatchObject({
      lengthShareRatio: 1,
      widthShareRatio: 0.25,
      because: [lanes.because],
    });
    const none = unpressedLanes({
      lanes: [{ widthRatio: 1, caliperDeviationRatio: 0 }],
      rollDiameterM: 1,
      indentationM: 0.14e-3,
    });
    expect(withShares({ woundWithoutNip: [none] })).not.toHaveProperty('ineffectiveNip');
  });

  it('is not spoken of where it works always and everywhere, or where none touches', () => {
    const nothing = { contactLostRatio: 0, uncoveredWidthRatio: 0, webTouchesBeforeNip: false };
    expect(withShares(nothing)).not.toHaveProperty('ineffectiveNip');
    const none = { ...lwcPoint, nip: null, nipShares: { contactLostRatio: 0.5 } };
    expect(assessAir(none)).not.toHaveProperty('ineffectiveNip');
  });

  it('has no critical speed to give where even no nip has none', () => {
    const rough = { ...lwcPoint, web: { ...lwcPoint.web, combinedRoughnessM: 1e-4 }, speedLimitMPerS: 20 };
    const { ineffectiveNip } = assessAir({ ...rough, nipShares: { contactLostRatio: 0.5 } });
    expect(ineffectiveNip!.marginRatio).toMatchObject({
      kind: 'unknown',
      because: { code: 'no-critical-speed' },
    });
  });

  it('has shares from 0 to 1', () => {
    expect(() => withShares({ contactLostRatio: 1.2 })).toThrow(
      new RangeError('contactLostRatio: 0 to 1 is needed, got 1.2'),
    );
    expect(() => withShares({ uncoveredWidthRatio: -0.1 })).toThrow(/uncoveredWidthRatio/);
  });
});
