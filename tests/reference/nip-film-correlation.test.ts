import { assessAir, type AirAssessment } from '@edge-margin/air-film';
import { describe, expect, it } from 'vitest';
import { errorMap, errorSpread, type ComparedPoint } from './nip-film-solver/error-map.js';
import { nipScales } from './nip-film-solver/nip-scales.js';
import { readSweepFixture, type SweptFilm } from './nip-film-solver/sweep-fixture.js';

/** What the service says of the point; web and tension do not enter the air that a nip lets through. */
const assessed = (point: SweptFilm): AirAssessment =>
  assessAir({
    web: { widthM: 1, caliperM: 50e-6, combinedRoughnessM: 0.1e-6, permeanceMPerPaS: 0 },
    nip: {
      rollerDiameterM: 2 * point.nipRollerRadiusM,
      coverModulusPa: point.coverModulusPa,
      coverPoissonRatio: point.coverPoissonRatio,
      loadNPerM: point.loadNPerM,
    },
    air: {
      viscosityPaS: point.viscosityPaS,
      pressurePa: point.ambientPressurePa,
      meanFreePathM: point.meanFreePathM,
    },
    running: {
      speedMPerS: point.speedMPerS,
      rollDiameterM: 2 * point.windingRollRadiusM,
      tensionNPerM: 200,
    },
  });

const compared = readSweepFixture().points.map((point) => {
  const { airFilm, extrapolated } = assessed(point);
  const { loadNumber, compression } = nipScales(point);
  const comparedPoint: ComparedPoint = {
    loadNumber,
    ambientRatio: 1 / compression,
    filmOverMeanFreePath: point.keptM / point.meanFreePathM,
    errorRatio: airFilm.keptByNipM! / point.keptM - 1,
  };
  return {
    ...comparedPoint,
    insideErrorRatio: airFilm.insideNipM! / point.centreFilmM - 1,
    extrapolated: extrapolated.map(({ code }) => code),
  };
});
const inStatedRange = compared.filter(({ extrapolated }) => extrapolated.length === 0);
const outside = compared.filter(({ extrapolated }) => extrapolated.length > 0);

// SHOW_MAP=1 prints the error map.
if (process.env['SHOW_MAP'] === '1') {
  console.log(
    [
      errorMap('air kept by the nip, whole sweep', compared),
      errorMap('inside the stated range', inStatedRange),
      errorMap('said to be extrapolated', outside),
      errorMap(
        'film in the middle of the nip, whole sweep',
        compared.map((point) => ({ ...point, errorRatio: point.insideErrorRatio })),
      ),
    ].join('\n\n'),
  );
}

describe('the air kept by a nip, held against a direct solution over the range of winders', () => {
  it('is within 3 % wherever the assessment does not call itself extrapolated', () => {
    expect(errorSpread(inStatedRange).largestRatio).toBeLessThan(0.03);
  });

  it('has a stated range that takes in nine in ten of the points', () => {
    expect(inStatedRange.length / compared.length).toBeGreaterThan(0.9);
  });

  it('is not off by more than a tenth even where it says extrapolated', () => {
    expect(errorSpread(outside).largestRatio).toBeLessThan(0.1);
  });
});
