import type { AirQuestion } from '@edge-margin/air-film';
import { type Known, known, reason, type Reason } from '@edge-margin/units';
import { airAround, type AirSignals } from './air-around.js';
import { airQuestion } from './air-now.js';
import type { StationAssessment } from './assessment.js';
import type { StationModel } from './model.js';

/** Where a station runs now, as an operating point; or why that is not known. */
export type OperatingPoint =
  { readonly ok: true; readonly point: AirQuestion } | { readonly ok: false; readonly because: Reason };

/** The operating point behind an assessment: diameter of the roll, latest good readings, web and nip from the plant file. */
export function operatingPointOf(model: StationModel, assessment: StationAssessment): OperatingPoint {
  const { air, grade: wound, nip, roll } = assessment;
  const grade = model.context.grades.get(wound.id);
  if (
    grade === undefined ||
    roll === null ||
    roll.diameterM.kind === 'unknown' ||
    air.woundInFilmM.kind === 'unknown'
  ) {
    return { ok: false, because: roll === null ? reason('no-roll', 'no roll is being wound') : air.because };
  }
  const speedMPerS = mean(assessment, 'speed');
  const tensionNPerM = mean(assessment, 'tension');
  if (speedMPerS === undefined || tensionNPerM === undefined) return { ok: false, because: air.because };
  const load = nip.loadNPerM.kind === 'known' ? nip.loadNPerM : known(0);
  const around = airAround(model.context.air, {
    ...given('temperatureK', mean(assessment, 'airTemperature')),
    ...given('pressurePa', mean(assessment, 'airPressure')),
    ...given('humidityRatio', mean(assessment, 'airHumidity')),
  });
  const readings = { diameterM: roll.diameterM, speedMPerS, tensionNPerM, load, around };
  const point = airQuestion({ grade, model }, readings);
  return 'kind' in point ? { ok: false, because: point.because } : { ok: true, point };
}

function given(name: keyof AirSignals, quantity: Known | undefined): AirSignals {
  return quantity === undefined ? {} : { [name]: quantity };
}

/** Mean of a signal's good readings over its ends. */
function mean({ inputs }: StationAssessment, signal: string): Known | undefined {
  const values = inputs.flatMap((input) =>
    input.signal === signal && input.quality === 'good' && typeof input.value === 'number'
      ? [input.value]
      : [],
  );
  return values.length === 0
    ? undefined
    : known(values.reduce((sum, value) => sum + value, 0) / values.length);
}
