import type { SeriesSample } from '@edge-margin/series';
import type { Quantity } from '@edge-margin/units';
import type { StationAssessment } from './assessment.js';

/** The assessment as series: every number that is known, and the texts that say what it was made with. */
export function derivedSamples(assessment: StationAssessment): SeriesSample[] {
  const { air, nip, risk, roll, forecast, winderId, stationId, atMs, woundInAir } = assessment;
  const samples: SeriesSample[] = [];
  const tell = (field: string, value: number | string, end: SeriesSample['end'] = 'both'): void => {
    samples.push({ measurement: 'assessment', winderId, stationId, end, field, atMs, value });
  };
  const tellKnown = (field: string, quantity: Quantity | undefined, end?: SeriesSample['end']): void => {
    if (quantity?.kind === 'known') tell(field, quantity.value, end);
  };
  tellKnown('marginRatio', air.marginRatio);
  tellKnown('criticalSpeedMPerS', air.criticalSpeedMPerS);
  tellKnown('filmCriticalSpeedMPerS', air.filmCriticalSpeedMPerS);
  tellKnown('woundInFilmM', air.woundInFilmM);
  tellKnown('filmRatio', air.filmRatio);
  tellKnown('nipInHandRatio', nip.inHandRatio);
  tellKnown('nipLoadNPerM', nip.loadNPerM);
  tellKnown('edgeRisk', risk.now);
  tellKnown('airRisk', risk.air);
  tellKnown('nipRisk', risk.nip);
  tellKnown('diameterM', roll?.diameterM);
  tellKnown('woundLengthM', roll?.woundLengthM);
  tellKnown('wrapCount', roll?.wrapCount);
  tellKnown('layerThicknessM', woundInAir?.layerThicknessM);
  tellKnown('measuredAirM', woundInAir?.airThicknessM);
  tellKnown('measuredLessModelM', woundInAir?.againstModel.differenceM);
  for (const { end, contactLossRatio, swingRatio } of nip.ends) {
    tellKnown('contactLossRatio', contactLossRatio, end);
    tellKnown('swingRatio', swingRatio, end);
  }
  if (forecast.boundary !== null) tell('boundaryEarliestDiameterM', forecast.boundary.earliest.diameterM);
  if (roll !== null) tell('rollId', roll.rollId);
  tell('modelRevision', assessment.modelRevision);
  tell('configurationRevision', assessment.configurationRevision);
  return samples;
}
