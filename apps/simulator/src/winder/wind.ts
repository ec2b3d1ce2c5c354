import { layWraps } from './lay-wraps.js';
import { partLoads } from './lane-loads.js';
import type { RollState, StripRoll } from './roll-state.js';
import { type Acting, utmostSkewRad } from './set-points.js';
import type { StackLoad } from './stack.js';
import type { StationModel } from './station-model.js';
import type { Stretch } from './stretch.js';
import type { StripPlan } from './strip-plan.js';
import type { Winding } from './winding.js';
import { wrapPlace } from './wrap-place.js';
import { woundFilm, type WoundFilm } from './wound-film.js';

/** What goes into one strip: the film, and the share of it that the nip did not touch, in time or in width. */
export interface StripFilm {
  readonly film: WoundFilm;
  readonly liftedRatio: number;
}

/** Air that goes into each strip: mean speed, the load of the lanes that the nip touches, lifted share of both ends. */
export function filmsOf(model: StationModel, winding: Winding, roll: RollState): readonly StripFilm[] {
  const { summary } = winding.nip ?? { summary: null };
  const lifted = summary === null ? 0 : (summary.lostRatio[0] + summary.lostRatio[1]) / 2;
  const worst = summary === null ? 0 : Math.max(...summary.lostRatio);
  const touchingN =
    summary === null || lifted >= 1 ? 0 : (summary.meanN[0] + summary.meanN[1]) / (1 - lifted);
  const { widthM, nip } = model.station;
  const isUniform = model.strips.length === 1 && model.strips[0]?.lanes.length === 1;
  if (isUniform || nip === null)
    return model.strips.map(() => ({
      film: filmUnder(model, winding, { loadNPerM: touchingN / widthM, liftedRatio: lifted }),
      liftedRatio: worst,
    }));
  const heights = model.strips.map(({ lanes }, s) => {
    const strip = roll.strips[s] as StripRoll;
    return lanes.map((lane, l) => ({
      widthM: lane.toM - lane.fromM,
      heightM: strip.radiusM - roll.radiusM + (strip.laneHeightsM[l] ?? 0),
    }));
  });
  const loads = partLoads(heights.flat(), touchingN, nip.stiffnessNPerM2);
  let next = 0;
  return heights.map((lanes) => {
    const own = lanes.map((lane) => ({ ...lane, ...(loads[next++] as (typeof loads)[number]) }));
    const whole = own.reduce((sum, lane) => sum + lane.widthM, 0);
    const touched = own.reduce((sum, lane) => sum + (lane.isTouched ? lane.widthM : 0), 0);
    const loadN = own.reduce((sum, lane) => sum + lane.loadNPerM * lane.widthM, 0);
    const untouched = 1 - touched / whole;
    const liftedRatio = 1 - (1 - lifted) * (1 - untouched);
    const loadNPerM = touched > 0 ? loadN / touched : 0;
    return {
      film: filmUnder(model, winding, { loadNPerM, liftedRatio }),
      liftedRatio: Math.max(worst, untouched),
    };
  });
}

function filmUnder(
  { station, grade, scenario }: StationModel,
  { stretch, acting, radiusM }: Winding,
  nip: { readonly loadNPerM: number; readonly liftedRatio: number },
): WoundFilm {
  return woundFilm({
    nip: station.nip,
    grade,
    air: scenario.air,
    speedMPerS: (stretch.speedMPerS.from + stretch.speedMPerS.to) / 2,
    tensionNPerM: acting.tensionNPerM,
    radiusM,
    loadNPerM: nip.loadNPerM,
    liftedRatio: nip.liftedRatio,
    bias: acting.filmFactor,
  });
}

/** What acts on the outer wraps. */
export function stackLoad(
  { station, grade, scenario }: StationModel,
  acting: Acting,
  radiusM: number,
  widthM: number = station.widthM,
): StackLoad {
  return {
    tensionNPerM: acting.tensionNPerM,
    radiusM,
    widthM,
    grade,
    air: scenario.air,
    skewRad: acting.skewRad,
    utmostSkewRad: utmostSkewRad(station),
    pathM: acting.pathM,
    spanM: station.path.spanM,
  };
}

/** The roll after the period's wraps are laid on every strip, and the strips have grown by them. */
export function wind(
  model: StationModel,
  roll: RollState,
  winding: Winding,
  films: readonly StripFilm[],
): RollState {
  const { stretch } = winding;
  const strips = model.strips.map((plan, i) =>
    windStrip(model, plan, roll.strips[i] as StripRoll, winding, films[i] as StripFilm),
  );
  return {
    ...roll,
    radiusM: meanOf(model.strips, strips, ({ radiusM }) => radiusM),
    turns: stretch.turns.to,
    lengthM: roll.lengthM + stretch.lengthM.to - stretch.lengthM.from,
    strips,
  };
}

function windStrip(
  model: StationModel,
  plan: StripPlan,
  strip: StripRoll,
  winding: Winding,
  { film, liftedRatio }: StripFilm,
): StripRoll {
  const { stretch, acting } = winding;
  const laid = layWraps(
    strip.stack,
    {
      durationS: stretch.durationS,
      turns: stretch.turns,
      radiusM: strip.radiusM,
      airM: film.laidM,
      liftedRatio,
      caliperRatio: plan.caliperRatio,
      placeAt: (share) => wrapPlace(model, winding, plan, share),
    },
    stackLoad(model, acting, strip.radiusM, plan.widthM),
  );
  return {
    ...strip,
    radiusM: strip.radiusM + laid.thickerM,
    laneHeightsM: grownLanes(model, plan, strip, stretch),
    stack: laid.stack,
  };
}

/** A lane that is thicker than the strip's mean stands out by that much a wrap, less what the roll evens out by yielding. */
function grownLanes({ station, grade }: StationModel, plan: StripPlan, strip: StripRoll, { turns }: Stretch) {
  if (plan.lanes.length === 1) return strip.laneHeightsM;
  const kept = grade.caliperM * (1 - station.rollBody.yieldRatio) * (turns.to - turns.from);
  return plan.lanes.map((lane, l) => (strip.laneHeightsM[l] ?? 0) + (lane.ratio - plan.caliperRatio) * kept);
}

/** Mean of the strips by width; of a single strip its very value. */
export function meanOf(
  plans: readonly StripPlan[],
  strips: readonly StripRoll[],
  value: (strip: StripRoll) => number,
): number {
  if (strips.length === 1) return value(strips[0] as StripRoll);
  const widthM = plans.reduce((sum, plan) => sum + plan.widthM, 0);
  return strips.reduce((sum, strip, i) => sum + value(strip) * (plans[i] as StripPlan).widthM, 0) / widthM;
}
