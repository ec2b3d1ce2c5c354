import type { Line, Slitter, Station } from '../scenario/scenario-schema.js';

export type Knife = Slitter['knives'][number];

/** One roll of a station: what part of the web it gets, and which knives cut its edges. */
export interface StripPlan {
  readonly index: number;
  readonly widthM: number;
  /** Numbers of the knives that cut its tending and its drive edge; null: the web comes as it is. */
  readonly knives: readonly [tending: number, drive: number] | null;
  /** Mean caliper of the strip over that of the web. */
  readonly caliperRatio: number;
  /** Lanes from its tending edge, with their caliper over that of the web; they fill the strip; one lane: all the same. */
  readonly lanes: readonly Lane[];
}

export interface Lane {
  readonly fromM: number;
  readonly toM: number;
  readonly ratio: number;
}

/** The strips of a station, from the tending side. */
export function stripPlans(station: Station, line: Line | undefined): readonly StripPlan[] {
  const lanes = line?.web.lanes ?? [];
  if (line?.slitter === undefined) return [planOf(0, 0, station.widthM, null, lanes)];
  let fromM = 0;
  const plans: StripPlan[] = [];
  line.slitter.strips.forEach((strip, i) => {
    if (strip.station === station.id)
      plans.push(planOf(plans.length, fromM, strip.widthM, [i, i + 1], lanes));
    fromM += strip.widthM;
  });
  return plans;
}

function planOf(
  index: number,
  fromM: number,
  widthM: number,
  knives: StripPlan['knives'],
  webLanes: readonly Lane[],
): StripPlan {
  const lanes = lanesWithin(webLanes, fromM, widthM);
  const caliperRatio =
    lanes.length === 1
      ? (lanes[0] as Lane).ratio
      : lanes.reduce((sum, lane) => sum + lane.ratio * (lane.toM - lane.fromM), 0) / widthM;
  return { index, widthM, knives, caliperRatio, lanes };
}

/** Cuts the web's lanes to a strip; where none is given the ratio is 1; where two overlap, the later one stands. */
function lanesWithin(webLanes: readonly Lane[], fromM: number, widthM: number): readonly Lane[] {
  const inner = webLanes.flatMap((lane) => [lane.fromM - fromM, lane.toM - fromM]);
  const cuts = [...new Set([0, widthM, ...inner.filter((m) => m > 0 && m < widthM)])].sort((a, b) => a - b);
  const ratioAt = (m: number): number =>
    webLanes.reduce((ratio, lane) => (m >= lane.fromM && m < lane.toM ? lane.ratio : ratio), 1);
  return cuts.slice(1).map((toM, i) => {
    const from = cuts[i] as number;
    return { fromM: from, toM, ratio: ratioAt(fromM + (from + toM) / 2) };
  });
}
