import { type DisplaySystem, reason } from '@edge-margin/units';
import { inRange } from '../in-range.js';
import { smallLengthInWords } from '../in-words.js';
import { inPercent, type WoundWithoutNip } from './wound-without-nip.js';

/** A web whose caliper falls off over one lane, and the nip on its roll. */
export interface SlopingLane {
  /** Caliper of the web beside the lane less that of its thinnest place, m. */
  readonly profileRangeM: number;
  readonly caliperM: number;
  /** Share of the width that the lane takes, above 0 and below 1. */
  readonly thinLaneWidthRatio: number;
  readonly rollDiameterM: number;
  readonly coreDiameterM: number;
  /** Indentation of the cover by this load on an even roll, m. */
  readonly indentationM: number;
  /** Units of the sentence; metric if left out. */
  readonly display?: DisplaySystem;
}

/**
 * Share of the width that is not pressed where the caliper falls off evenly over a lane, and how deep the lane lies.
 *
 * A place thinner by the share e falls behind in radius by `e (D^2 - d^2)/(4 D)` (see `unpressedLanes`), so the lane is a slope from 0 to `g = (range/caliper) (D^2 - d^2)/(4 D)`. On a bed of springs (see `shareNotPressed`)
 * the roller comes down by s with `(1 - a) s + a s^2/(2 g) = indentation` while s < g (a: width of the lane over the whole; own derivation), and `a (1 - s/g)` is not pressed. Grows from 0 without a
 * jump as the roll builds. Pessimistic: a real roll gives way, and tension leaves the slack lane.
 */
export function slopingLaneShare(lane: SlopingLane): { readonly ratio: number; readonly depthM: number } {
  const { caliperM, coreDiameterM, indentationM, profileRangeM, rollDiameterM, thinLaneWidthRatio } = lane;
  const lead = Math.max(rollDiameterM ** 2 - coreDiameterM ** 2, 0) / (4 * rollDiameterM);
  const depthM = (profileRangeM / caliperM) * lead;
  if (depthM === 0) return { ratio: 0, depthM };
  const even = 1 - thinLaneWidthRatio;
  const perDepth = (2 * thinLaneWidthRatio * indentationM) / depthM;
  // The root of the quadratic, in the form that keeps its digits where the lane is narrow.
  const comesDownRatio = perDepth / thinLaneWidthRatio / (even + Math.sqrt(even * even + perDepth));
  return { ratio: thinLaneWidthRatio * Math.max(0, 1 - comesDownRatio), depthM };
}

/**
 * {@link slopingLaneShare} with its reason.
 * @throws RangeError if a dimension makes no sense.
 */
export function unpressedSlopingLane(lane: SlopingLane): WoundWithoutNip {
  inRange({ name: 'profileRangeM', value: lane.profileRangeM, unit: 'm', low: 0, high: 0.5 * lane.caliperM });
  inRange({ name: 'thinLaneWidthRatio', value: lane.thinLaneWidthRatio, unit: '1', low: 1e-3, high: 0.95 });
  const { ratio, depthM } = slopingLaneShare(lane);
  if (ratio === 0) return { of: 'width', ratio };
  const { display: system = 'metric', indentationM } = lane;
  const text = `the thin lane of the roll lies up to ${smallLengthInWords(depthM, system)} below the rest, the nip indents by ${smallLengthInWords(indentationM, system)}: ${inPercent(ratio)} of the width is not pressed`;
  return {
    of: 'width',
    ratio,
    because: reason('lane-below-nip', text, { ratio, gapM: depthM, indentationM }),
  };
}
