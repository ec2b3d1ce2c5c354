import type { StationAssessment } from '@edge-margin/monitoring';
import type { GaugeData } from '../drawing/gauge-scale.js';
import type { StationContext } from './station-context.js';

/** What the drawings along the radius show of a station; null where there is no roll to draw. */
export function gaugeData({ station, liveness }: StationContext): GaugeData | null {
  const assessment = station.assessment;
  const roll = assessment?.roll ?? null;
  if (assessment === null || roll === null || !isLength(roll.coreDiameterM)) return null;
  const diameter =
    roll.diameterM.kind === 'known' && isLength(roll.diameterM.value) ? roll.diameterM.value : null;
  const nowM = Math.max(roll.coreDiameterM, diameter ?? lastWound(assessment) ?? 0);
  const setEndM =
    roll.setEndDiameterM !== null && isLength(roll.setEndDiameterM) ? roll.setEndDiameterM : null;
  return {
    coreM: roll.coreDiameterM,
    nowM,
    live: liveness.kind === 'live' && diameter !== null,
    setEndM,
    wound: assessment.risk.wound,
    ahead: assessment.forecast.ahead,
    after: assessment.remedy === null ? [] : assessment.forecast.aheadAfterRemedy,
    boundary: boundary(assessment),
    byM: byDiameter(assessment),
    fullM: Math.max(setEndM ?? station.machineLimits.diameterMaxM, nowM),
  };
}

/** A trial and a state that needs nobody never mark a diameter to act by. */
function byDiameter({ state, remedy, forecast }: StationAssessment): number | null {
  if (state.word !== 'free-from') return null;
  return remedy?.byDiameterM ?? forecast.actBy?.diameterM ?? null;
}

function boundary({ forecast }: StationAssessment): GaugeData['boundary'] {
  if (forecast.boundary === null) return null;
  const { earliest, expected, latest } = forecast.boundary;
  return { earliestM: earliest.diameterM, expectedM: expected.diameterM, latestM: latest?.diameterM ?? null };
}

function lastWound({ risk }: StationAssessment): number | null {
  return risk.wound.at(-1)?.diameterM ?? null;
}

function isLength(value: number): boolean {
  return Number.isFinite(value) && value > 0;
}
