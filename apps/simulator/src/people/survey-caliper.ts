import { resumeStream } from '../random/random-stream.js';
import { seedStream } from '../random/seed-stream.js';
import { type FinishedRoll, rollName } from './finished-roll.js';
import type { CaliperSurvey } from './people-record.js';
import type { CaliperSurveyPlan } from './people-schema.js';
import { reading } from './reading.js';

/** A caliper survey across one wrap, at even distances from edge to edge. */
export function surveyCaliper(plan: CaliperSurveyPlan, finished: FinishedRoll, seed: number): CaliperSurvey {
  const stream = resumeStream(seedStream(seed, `people/caliper/${rollName(finished)}`));
  const { winder, station, roll } = finished.roll;
  const atMs = finished.roll.atMs + Math.round(stream.uniform() * plan.afterS * 1000);
  const gauge = { error: plan.readingErrorM, quantum: plan.quantumM };
  const readings = Array.from({ length: plan.places }, (_, i) => {
    const fromTendingEdgeM = Number(((i / (plan.places - 1)) * finished.station.widthM).toPrecision(9));
    const trueM = caliperAtM(finished, fromTendingEdgeM);
    return { fromTendingEdgeM, caliperM: reading(trueM + plan.biasM, gauge, stream) };
  });
  return { kind: 'caliper-survey', atMs, winder, station, roll, readings };
}

/** True caliper at a place across the web: the same everywhere. */
function caliperAtM({ grade }: FinishedRoll, _fromTendingEdgeM: number): number {
  return grade.caliperM;
}
