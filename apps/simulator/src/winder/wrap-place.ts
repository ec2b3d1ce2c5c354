import type { Idler, Line } from '../scenario/scenario-schema.js';
import { cutNoiseM } from './cut-noise.js';
import { halfWideningM } from './set-points.js';
import type { StationModel } from './station-model.js';
import { lengthShare, type Stretch } from './stretch.js';
import type { StripPlan } from './strip-plan.js';
import { knifePeriodM, rollerPeriodM, turnedShare } from './turning.js';
import type { WebPeriod } from './web.js';
import type { Winding } from './winding.js';

/** Where a wrap is laid. */
export interface WrapPlace {
  readonly offsetM: number;
  readonly halfWideningM: number;
  /** How far the knives that cut its edges stood from their nominal place; left out: no knives. */
  readonly cutM?: { readonly tending: number; readonly drive: number };
}

/** Where the wrap of a strip lies that closes at this share of the period: path, knives, steering by a leaning nip, narrowing. */
export function wrapPlace(model: StationModel, winding: Winding, strip: StripPlan, share: number): WrapPlace {
  const { stretch, acting, web } = winding;
  const nip = nipPlace(model, winding, strip, share);
  const sidewaysM = acting.pathM + nip.offsetM;
  const lengthM = lengthAt(stretch, share);
  const idlersM = idlerMotionM(model.station.path.idlers, lengthM);
  if (web === null || model.line === undefined)
    return { offsetM: sidewaysM + idlersM, halfWideningM: nip.halfWideningM };
  const webLengthM = web.webM.from + lengthM - stretch.lengthM.from;
  const at = (m: number): number => webSidewaysM(model.line as Line, web, m);
  const { slitter } = model.line;
  // web that moves sideways is cut aslant: behind the knives the strip keeps what the web moved on its way to them
  const webM = slitter === undefined ? at(webLengthM) : at(webLengthM) - at(webLengthM - slitter.spanM);
  return {
    offsetM: sidewaysM + idlersM + webM,
    halfWideningM: nip.halfWideningM - tensionNarrowingM(model, winding, strip, webLengthM),
    ...cutOf(model.line, strip, winding.cutSeed, webLengthM),
  };
}

function lengthAt(stretch: Stretch, share: number): number {
  return stretch.lengthM.from + lengthShare(stretch, share) * (stretch.lengthM.to - stretch.lengthM.from);
}

function nipPlace({ station, grade }: StationModel, winding: Winding, strip: StripPlan, share: number) {
  const period = winding.nip?.period;
  if (period === undefined) return { offsetM: 0, halfWideningM: 0 };
  const step = Math.min(period.steps - 1, Math.floor(share * period.steps));
  const tending = period.trace.loadN[0][step] as number;
  const drive = period.trace.loadN[1][step] as number;
  const sum = tending + drive;
  const lean = sum > 0 ? (tending - drive) / sum : 0;
  return {
    offsetM: station.path.steeringM * lean,
    halfWideningM: halfWideningM(station, grade, { loadNPerM: sum / station.widthM, widthM: strip.widthM }),
  };
}

function idlerMotionM(idlers: readonly Idler[], lengthM: number): number {
  return idlers.reduce(
    (sum, idler) => sum + idler.axialM * turnedShare(idler, lengthM / rollerPeriodM(idler)),
    0,
  );
}

/** Sideways place of the web at a length, before the slitter: path, idlers, unwinding roll. */
function webSidewaysM(line: Line, web: WebPeriod, lengthM: number): number {
  const passedM = web.webM.to - web.webM.from;
  const share = passedM > 0 ? (lengthM - web.webM.from) / passedM : 0;
  const path = web.pathM.from + share * (web.pathM.to - web.pathM.from);
  return (
    path + idlerMotionM(line.idlers, lengthM) + unwindShare(line, web, share) * (line.unwind?.axialM ?? 0)
  );
}

function unwindShare({ unwind }: Line, web: WebPeriod, share: number): number {
  if (unwind === undefined || web.unwind === null) return 0;
  return turnedShare(unwind, web.unwind.fromTurns + share * (web.unwind.toTurns - web.unwind.fromTurns));
}

/** Half of what a strip is narrower under the tension pulse of an unwinding roll that is out of round (Poisson's ratio). */
function tensionNarrowingM(
  { grade, line }: StationModel,
  winding: Winding,
  strip: StripPlan,
  lengthM: number,
): number {
  const { web, acting } = winding;
  if (web === null || line?.unwind === undefined || line.unwind.tensionRatio === 0) return 0;
  const passedM = web.webM.to - web.webM.from;
  const share = passedM > 0 ? (lengthM - web.webM.from) / passedM : 0;
  const pulse = line.unwind.tensionRatio * unwindShare(line, web, share) * acting.tensionNPerM;
  return (grade.poissonRatio * pulse * strip.widthM) / (2 * grade.modulusPa * grade.caliperM);
}

function cutOf({ slitter }: Line, strip: StripPlan, seed: number, lengthM: number): Pick<WrapPlace, 'cutM'> {
  if (slitter === undefined || strip.knives === null) return {};
  const turns = lengthM / knifePeriodM(slitter);
  const of = (number: number): number => {
    const knife = slitter.knives.find((one) => one.number === number);
    return knife === undefined
      ? 0
      : knife.runOutM * turnedShare(knife, turns) + cutNoiseM(knife, seed, lengthM);
  };
  return { cutM: { tending: of(strip.knives[0]), drive: of(strip.knives[1]) } };
}
