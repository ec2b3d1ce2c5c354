import { resumeStream } from '../random/random-stream.js';
import { seedStream } from '../random/seed-stream.js';
import { type FinishedRoll, ofRoll, rollName } from './finished-roll.js';
import type { CaliperSurvey } from './people-record.js';
import type { CaliperSurveyPlan } from './people-schema.js';
import { reading } from './reading.js';

/** A caliper survey across one wrap, at even distances from edge to edge. */
export function surveyCaliper(plan: CaliperSurveyPlan, finished: FinishedRoll, seed: number): CaliperSurvey {
  const stream = resumeStream(seedStream(seed, `people/caliper/${rollName(finished)}`));
  const atMs = finished.roll.atMs + Math.round(stream.uniform() * plan.afterS * 1000);
  const gauge = { error: plan.readingErrorM, quantum: plan.quantumM };
  const { beginM, widthM } = placeInWeb(finished);
  const readings = Array.from({ length: plan.places }, (_, i) => {
    const fromTendingEdgeM = Number(((i / (plan.places - 1)) * widthM).toPrecision(9));
    const trueM = caliperAtM(finished, beginM + fromTendingEdgeM);
    return { fromTendingEdgeM, caliperM: reading(trueM + plan.biasM, gauge, stream) };
  });
  return { kind: 'caliper-survey', atMs, ...ofRoll(finished), readings };
}

/** Where the roll's tending edge lies in the web, and how wide it is: as the slitter cuts its strip, or the whole web. */
function placeInWeb({ winder, station, roll }: FinishedRoll): {
  readonly beginM: number;
  readonly widthM: number;
} {
  const strips = winder.line?.slitter?.strips ?? [];
  const own = strips.flatMap((strip, i) => (strip.station === station.id ? [i] : []))[roll.strip ?? 0];
  if (own === undefined) return { beginM: 0, widthM: station.widthM };
  const beginM = strips.slice(0, own).reduce((sum, strip) => sum + strip.widthM, 0);
  return { beginM, widthM: strips[own]?.widthM ?? station.widthM };
}

/** True caliper at a place across the web: the mean one, times that of the lane that runs there. */
function caliperAtM({ grade, winder }: FinishedRoll, placeM: number): number {
  const lane = winder.line?.web.lanes.find(({ fromM, toM }) => placeM >= fromM && placeM <= toM);
  return grade.caliperM * (lane?.ratio ?? 1);
}
