import type { SeriesSample } from '@edge-margin/series';
import type { Quantity } from '@edge-margin/units';
import type { StationAssessment } from './assessment.js';

/** The assessment as series: every number that is known, and the texts that say what it was made with. */
export function derivedSamples(assessment: StationAssessment): SeriesSample[] {
  const { air, nip, risk, roll, forecast, winderId, stationId, atMs } = assessment;
  const sample = (
    field: string,
    value: number | string,
    end: SeriesSample['end'] = 'both',
  ): SeriesSample => ({
    measurement: 'assessment',
    winderId,
    stationId,
    end,
    field,
    atMs,
    value,
  });
  const quantities: readonly (readonly [string, Quantity | undefined])[] = [
    ['marginRatio', air.marginRatio],
    ['criticalSpeedMPerS', air.criticalSpeedMPerS],
    ['filmCriticalSpeedMPerS', air.filmCriticalSpeedMPerS],
    ['woundInFilmM', air.woundInFilmM],
    ['filmRatio', air.filmRatio],
    ['nipInHandRatio', nip.inHandRatio],
    ['nipLoadNPerM', nip.loadNPerM],
    ['edgeRisk', risk.now],
    ['airRisk', risk.air],
    ['nipRisk', risk.nip],
    ['diameterM', roll?.diameterM],
    ['woundLengthM', roll?.woundLengthM],
    ['wrapCount', roll?.wrapCount],
    ['layerThicknessM', assessment.woundInAir?.layerThicknessM],
    ['measuredAirM', assessment.woundInAir?.airThicknessM],
    ['measuredLessModelM', assessment.woundInAir?.againstModel.differenceM],
  ];
  const samples = quantities.flatMap(([field, quantity]) =>
    quantity?.kind === 'known' ? [sample(field, quantity.value)] : [],
  );
  for (const { end, contactLossRatio, swingRatio } of nip.ends) {
    if (contactLossRatio.kind === 'known')
      samples.push(sample('contactLossRatio', contactLossRatio.value, end));
    if (swingRatio.kind === 'known') samples.push(sample('swingRatio', swingRatio.value, end));
  }
  if (forecast.boundary !== null)
    samples.push(sample('boundaryEarliestDiameterM', forecast.boundary.earliest.diameterM));
  if (roll !== null) samples.push(sample('rollId', roll.rollId));
  samples.push(
    sample('modelRevision', assessment.modelRevision),
    sample('configurationRevision', assessment.configurationRevision),
  );
  return samples;
}
