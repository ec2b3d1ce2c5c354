import { marginAt, remedies } from '@edge-margin/air-film';
import type { End } from '@edge-margin/plant';
import { known, unknown, valueOf } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import type { AirSignals } from './air-around.js';
import { airNow, type AirNow } from './air-now.js';
import { makeModel } from './model.js';
import { neverCame } from './words.js';

interface PlantChoice {
  /** Added to the site, the grade and the nip. */
  readonly site?: string;
  readonly grade?: string;
  readonly nip?: string;
  readonly display?: 'metric' | 'us';
}

/** A magazine paper winder with 15 mm of rubber on its nip roller; illustrative. */
const plantText = ({ site = '', grade = '', nip = '', display = 'metric' }: PlantChoice): string => `
plantFileVersion: 1
site: { id: s, name: S${site} }
display: ${display}
areas: [{ id: a, name: A, lines: [{ id: l, name: L, winders: [{ id: w, name: W,
  limits: { speedMPerS: { max: 40 }, tensionNPerM: { min: 40, max: 800 }, nipLoadNPerM: { min: 50, max: 8000 }, diameterM: { max: 1.5 } },
  stations: [{ id: a, name: A, coreDiameterM: 0.1, rolls: [{ id: r, widthM: 1.2 }, { id: q, widthM: 2 }], defaultGrade: g,
    nip: { kind: rider roll, rollerDiameterM: 0.5, coverModulusPa: 5.0e+6, coverPoissonRatio: 0.49, coverThicknessM: 0.015${nip} } }] }] }] }]
grades:
  - { id: g, name: G, caliperM: 50.0e-6, combinedRoughnessM: 1.5e-6, permeanceMPerPaS: 0, setEndDiameterM: 1.0${grade} }
sources:
  - { topic: m/a, winder: w, station: a, signals: [{ signal: speed, pointer: /v, expectedPeriodS: 1 }] }
`;

interface Readings {
  readonly diameterM?: number;
  readonly lostAt?: readonly End[];
  readonly airSignals?: AirSignals;
}

function airOf(choice: PlantChoice, { diameterM = 1, lostAt = [], airSignals = {} }: Readings = {}): AirNow {
  const text = plantText(choice);
  const model = makeModel(text, 'r', { textDecoder: () => '' })?.stations.get('w/a');
  const grade = model?.context.grades.get('g');
  if (model === undefined || grade === undefined)
    throw new Error(`the plant of the test is refused:\n${text}`);
  return airNow({
    model,
    grade,
    gradeProblem: null,
    diameterM: known(diameterM),
    speedMPerS: known(30),
    tensionNPerM: known(350),
    nipLoadNPerM: known(3000),
    contactLostAt: lostAt,
    airSignals,
    display: model.display,
  });
}

const margin = (air: AirNow): number => valueOf(air.inHand.marginRatio) ?? Number.NaN;

describe('a nip that does not press everywhere, live', () => {
  const lane = { grade: ', profileRangeM: 0.1e-6' };
  const measuredRoll = { grade: ', rollProfileRangeM: 0.5e-3' };
  const slender = {
    nip: ', bending: { bearingSpanM: 3.4, tube: { outerDiameterM: 0.18, innerDiameterM: 0.16 } }',
  };
  const early = { nip: ', wrapBeforeNipRad: 0.02' };

  it('is not spoken of where the plant file tells nothing of it', () => {
    expect(airOf({}).inHand).not.toHaveProperty('nipInPart');
    expect(airOf({}).inHand.because.code).toBe('nip-film');
  });

  it.each([
    ['a thin lane by its caliper', lane, 'lane-below-nip'],
    ['a thin lane by the finished roll', measuredRoll, 'lane-below-nip'],
    ['a bent roller', slender, 'roller-bends'],
    ['a web that touches before', early, 'web-touches-before-nip'],
  ])('is named with its share: %s; it lowers the margin and the boundary uses it', (_, choice, code) => {
    const air = airOf(choice);
    const { nipInPart } = air.inHand;
    expect(nipInPart?.because.map((each) => each.code)).toEqual([code]);
    expect(nipInPart?.lengthShareRatio).toBeGreaterThan(0);
    expect(nipInPart?.widthShareRatio).toBeGreaterThan(0);
    expect(valueOf(nipInPart!.marginRatio!)).toBeLessThan(margin(air));
    expect(margin(air)).toBeLessThan(margin(airOf({})));
    expect(valueOf(air.chance)).toBeGreaterThan(valueOf(airOf({}).chance)!);
    expect(air.outlook!.criticalSpeedAt(1)).toBeCloseTo(30 / (1 - margin(air)), 9);
    expect(air.inHand.because).toMatchObject({
      code: 'nip-in-part',
      params: { withoutNipRatio: expect.any(Number) },
    });
  });

  it('takes a lane by the finished roll as one by caliper that lies as low (own arithmetic: 4 x 50 um x 0.5 mm x 1 m/(1 - 0.01) m2 = 0.101 um)', () => {
    expect(margin(airOf(measuredRoll))).toBeCloseTo(
      margin(airOf({ grade: ', profileRangeM: 0.10101e-6' })),
      3,
    );
  });

  it('has a lane that costs nothing while the roll is small: the boundary comes with the diameter', () => {
    const { outlook } = airOf(lane);
    const plain = airOf({}).outlook!;
    expect(outlook!.criticalSpeedAt(0.2)).toBe(plain.criticalSpeedAt(0.2));
    expect(outlook!.criticalSpeedAt(1)!).toBeLessThan(0.5 * plain.criticalSpeedAt(1)!);
  });

  it('has remedies that reckon with it', () => {
    const point = airOf(lane).outlook!.pointAt(1);
    const speed = remedies(point, 0.1).find(({ setPoint }) => setPoint === 'speed');
    if (speed?.kind !== 'change') throw new Error('slowing down must help');
    const slower = { ...point, running: { ...point.running, speedMPerS: speed.to } };
    expect(marginAt(slower)).toBeCloseTo(0.1, 9);
  });

  it('names the end at which contact is lost, and does not invent for how long', () => {
    const { nipInPart, nipLifted } = airOf({}, { lostAt: ['drive'] }).inHand;
    expect(nipInPart).toEqual({
      because: [
        {
          code: 'nip-contact-lost',
          params: { end: 'drive' },
          text: 'the nip leaves the roll at the drive side for a part of the time that peaks do not tell',
        },
      ],
      withoutNipFilmM: expect.any(Number),
    });
    expect(nipInPart!.withoutNipFilmM).toBeGreaterThan(100e-6);
    expect(nipLifted?.code).toBe('nip-lifted');
  });
});

describe('the air around the winder, live', () => {
  const film = (air: AirNow): number => valueOf(air.inHand.woundInFilmM)!;
  const standard = airOf({});

  it('is that of 23 C and one atmosphere, dry, where nothing tells', () => {
    const told = { site: ', air: { temperatureC: 23, pressurePa: 101325, relativeHumidityRatio: 0 }' };
    expect(airOf(told).inHand).toEqual(standard.inHand);
  });

  it('comes from the plant file: 10 C more make a film of 1 to 2.5 % more (Sutherland, power of about 0.7)', () => {
    const warm = airOf({ site: ', air: { temperatureC: 33 }' });
    // 10 C are 2.6 % of the viscosity; the film under a nip goes with its power of about 0.7.
    expect(film(warm) / film(standard)).toBeGreaterThan(1.01);
    expect(film(warm) / film(standard)).toBeLessThan(1.025);
    expect(margin(warm)).toBeLessThan(margin(standard));
  });

  it('lets a mill at 1500 m height keep more air for its pressure, and a damp one a little less', () => {
    const high = airOf({ site: ', air: { pressurePa: 84500 }' });
    expect(film(high) / film(standard)).toBeGreaterThan(1.02);
    const damp = airOf({ site: ', air: { temperatureC: 23, relativeHumidityRatio: 0.8 }' });
    expect(film(damp) / film(standard)).toBeLessThan(1);
    expect(film(damp) / film(standard)).toBeGreaterThan(0.985);
  });

  it('goes by signals before the plant file', () => {
    const told = { site: ', air: { temperatureC: 5, pressurePa: 84500, relativeHumidityRatio: 0.9 }' };
    const signals = { temperatureK: known(296.15), pressurePa: known(101_325), humidityRatio: known(0) };
    expect(film(airOf(told, { airSignals: signals })) / film(standard)).toBeCloseTo(1, 9);
  });

  it('falls back on the plant file where a thermometer is lost, less sure and not blind', () => {
    const lost = { temperatureK: unknown(neverCame('airTemperature', 'both')) };
    const air = airOf({ site: ', air: { temperatureC: 33 }' }, { airSignals: lost });
    const warm = airOf({ site: ', air: { temperatureC: 33 }' });
    expect(film(air)).toBe(film(warm));
    const { marginRatio } = air.inHand;
    const { marginRatio: sure } = warm.inHand;
    if (marginRatio.kind === 'unknown' || sure.kind === 'unknown')
      throw new Error('the margin must be known');
    expect(marginRatio.uncertainty).toBeGreaterThan(sure.uncertainty);
  });
});

describe('the sentences of the air', () => {
  it('are in the units of the plant, with the figures in SI beside them', () => {
    const { because } = airOf({ display: 'us' }).inHand;
    expect(because.text).toMatch(/^the nip lets in a film of \d+ µin, /);
    expect(because.params).toMatchObject({ filmM: expect.any(Number), boundaryFilmM: 4.5e-6 });
    expect(airOf({}).inHand.because.text).toMatch(/^the nip lets in a film of \d+\.\d+ µm, /);
  });
});
