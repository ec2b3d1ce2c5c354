import type { Grade } from '@edge-margin/plant';
import type { TrackedRoll } from '@edge-margin/roll-geometry';
import { type Quantity, reason } from '@edge-margin/units';
import type { AirNow } from './air-now.js';
import type { Forecast } from './assessment.js';
import {
  boundaryAhead,
  diameterAt,
  instantAt,
  lookBeyond,
  type Outlook,
  riskAhead,
} from './boundary-ahead.js';
import { criticalCurve } from './critical-curve.js';
import type { StationModel } from './model.js';

/** What the forecast goes by. */
export interface OutlookQuestion {
  readonly model: StationModel;
  readonly atMs: number;
  readonly grade: Grade;
  readonly roll: TrackedRoll | null;
  readonly setEndDiameterM: number;
  readonly speedMPerS: Quantity;
  /** Speeds of the last seconds, latest last, m/s. */
  readonly speeds: readonly number[];
  readonly air: AirNow;
  readonly nipChance: Quantity;
}

export interface OutlookNow {
  readonly outlook: Outlook | null;
  readonly forecast: Omit<Forecast, 'aheadAfterRemedy'>;
}

/** Below this the winder is not winding in any sense that has a forecast, m/s. */
const standingMPerS = 0.05;
/** A run counts as steady when its speed has stayed within this share over the last seconds. */
const steadyRatio = 0.02;

/** The coming roll: risk over diameter, the boundary, the end of the set and act by. */
export function outlookNow(question: OutlookQuestion): OutlookNow {
  const { air, atMs, grade, model, nipChance, roll, setEndDiameterM } = question;
  const nothing = (because: Forecast['because']): OutlookNow => ({
    outlook: null,
    forecast: { ahead: [], boundary: null, setEnd: null, actBy: null, because },
  });
  if (roll === null) return nothing(reason('no-roll', 'there is no roll to look ahead for'));
  if (roll.diameterM.kind === 'unknown') return nothing(roll.diameterM.because);
  if (question.speedMPerS.kind === 'unknown') return nothing(question.speedMPerS.because);
  const speedMPerS = forecastSpeed(question.speedMPerS.value, question.speeds, grade.plannedSpeedMPerS);
  if (speedMPerS < standingMPerS) return nothing(reason('standing', 'the winder stands'));
  const { outlook: airOutlook } = air;
  if (air.chance.kind === 'unknown' || airOutlook === null) return nothing(air.inHand.because);
  const slowness = criticalCurve(
    airOutlook.criticalSpeedAt,
    roll.diameterM.value,
    lookBeyond * setEndDiameterM,
  );
  const outlook: Outlook = {
    nowMs: atMs,
    diameterM: roll.diameterM.value,
    setEndDiameterM,
    layerThicknessM: roll.layerThicknessM.value,
    speedMPerS,
    speedShareAt: (diameterM) => speedMPerS * slowness(diameterM),
    shareUncertaintyRatio: airOutlook.shareUncertaintyRatio,
    otherChance: nipChance.kind === 'known' ? nipChance.value : 0,
    riskLimit: model.context.limits.edgeRisk.reached,
  };
  return { outlook, forecast: forecastOf(outlook, model, grade) };
}

function forecastSpeed(
  presentMPerS: number,
  speeds: readonly number[],
  plannedMPerS: number | undefined,
): number {
  const steady = speeds.length > 2 && Math.max(...speeds) - Math.min(...speeds) <= steadyRatio * presentMPerS;
  return steady || plannedMPerS === undefined ? presentMPerS : Math.max(presentMPerS, plannedMPerS);
}

function forecastOf(outlook: Outlook, model: StationModel, grade: Grade): OutlookNow['forecast'] {
  const ahead = riskAhead(outlook);
  const setEnd =
    outlook.setEndDiameterM > outlook.diameterM ? instantAt(outlook, outlook.setEndDiameterM) : null;
  // A grade without rated rolls has no time to its boundary: the model alone is off by a factor of up to two.
  if (!grade.activated)
    return {
      ahead,
      boundary: null,
      setEnd,
      actBy: null,
      because: reason('trial', 'no rated roll has confirmed this grade: no time is promised'),
    };
  const boundary = boundaryAhead(outlook);
  if (boundary === null)
    return {
      ahead,
      boundary,
      setEnd,
      actBy: null,
      because: reason('clear', 'the risk stays below its limit to the end of the set'),
    };
  const actByMs = Math.max(
    boundary.earliest.atMs - model.context.limits.edgeRisk.responseS * 1000,
    outlook.nowMs,
  );
  const actBy = { atMs: actByMs, diameterM: diameterAt(outlook, actByMs) };
  return {
    ahead,
    boundary,
    setEnd,
    actBy,
    because: reason('boundary-ahead', 'the risk reaches its limit before the end of the set'),
  };
}
