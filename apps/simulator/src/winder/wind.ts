import type { NipPeriod } from './nip-motion.js';
import type { NipSummary } from './nip-summary.js';
import { layWraps } from './lay-wraps.js';
import type { RollState } from './roll-state.js';
import { type Acting, halfWideningM, utmostSkewRad } from './set-points.js';
import type { StackLoad } from './stack.js';
import type { StationModel } from './station-model.js';
import type { Stretch } from './stretch.js';
import { woundFilm, type WoundFilm } from './wound-film.js';

/** What the roll gets during one sample period. */
export interface Winding {
  readonly stretch: Stretch;
  readonly acting: Acting;
  readonly nip: { readonly period: NipPeriod; readonly summary: NipSummary } | null;
  readonly radiusM: number;
}

/** Air that goes in during a period: mean speed, mean load of the time in contact, lifted share of both ends. */
export function filmOf(
  { station, grade, scenario }: StationModel,
  { stretch, acting, nip, radiusM }: Winding,
): WoundFilm {
  const lifted = nip === null ? 0 : (nip.summary.lostRatio[0] + nip.summary.lostRatio[1]) / 2;
  const meanN = nip === null ? 0 : nip.summary.meanN[0] + nip.summary.meanN[1];
  return woundFilm({
    nip: station.nip,
    grade,
    air: scenario.air,
    speedMPerS: (stretch.speedMPerS.from + stretch.speedMPerS.to) / 2,
    tensionNPerM: acting.tensionNPerM,
    radiusM,
    loadNPerM: lifted < 1 ? meanN / (1 - lifted) / station.widthM : 0,
    liftedRatio: lifted,
    bias: acting.filmFactor,
  });
}

/** What acts on the outer wraps. */
export function stackLoad(
  { station, grade, scenario }: StationModel,
  acting: Acting,
  radiusM: number,
): StackLoad {
  return {
    tensionNPerM: acting.tensionNPerM,
    radiusM,
    widthM: station.widthM,
    grade,
    air: scenario.air,
    skewRad: acting.skewRad,
    utmostSkewRad: utmostSkewRad(station),
    pathM: acting.pathM,
    spanM: station.path.spanM,
  };
}

/** The roll after the period's wraps are laid, and the roll has grown by them. */
export function wind(model: StationModel, roll: RollState, winding: Winding, film: WoundFilm): RollState {
  const { stretch, acting, nip } = winding;
  const laid = layWraps(
    roll.stack,
    {
      durationS: stretch.durationS,
      turns: stretch.turns,
      radiusM: roll.radiusM,
      airM: film.laidM,
      liftedRatio: nip === null ? 0 : Math.max(...nip.summary.lostRatio),
      placeAt: (share) => placeOf(model, acting, nip?.period ?? null, share),
    },
    stackLoad(model, acting, roll.radiusM),
  );
  return {
    ...roll,
    radiusM: roll.radiusM + laid.thickerM,
    turns: stretch.turns.to,
    lengthM: roll.lengthM + stretch.lengthM.to - stretch.lengthM.from,
    stack: laid.stack,
  };
}

/** Where a wrap lies that closes at this share of the period: path, steering by a leaning nip, narrowing by its load. */
function placeOf(model: StationModel, acting: Acting, period: NipPeriod | null, share: number) {
  if (period === null) return { offsetM: acting.pathM, halfWideningM: 0 };
  const step = Math.min(period.steps - 1, Math.floor(share * period.steps));
  const tending = period.trace.loadN[0][step] as number;
  const drive = period.trace.loadN[1][step] as number;
  const sum = tending + drive;
  const lean = sum > 0 ? (tending - drive) / sum : 0;
  return {
    offsetM: acting.pathM + model.station.path.steeringM * lean,
    halfWideningM: halfWideningM(model.station, model.grade, sum / model.station.widthM),
  };
}
