import { resumeStream } from '../random/random-stream.js';
import { seedStream } from '../random/seed-stream.js';
import { type FinishedRoll, ofRoll, rollName } from './finished-roll.js';
import type { DiameterRemeasured } from './people-record.js';
import type { RemeasurePlan } from './people-schema.js';
import { reading } from './reading.js';

/** The finished diameter as a tape shows it later, when air has bled off as far as the truth says. */
export function remeasureDiameter(
  plan: RemeasurePlan,
  finished: FinishedRoll,
  seed: number,
): DiameterRemeasured {
  const stream = resumeStream(seedStream(seed, `people/remeasured/${rollName(finished)}`));
  const { atMs, diameterM, remeasuredDiameterM = diameterM } = finished.roll;
  const tape = { error: plan.readingErrorM, quantum: plan.quantumM };
  return {
    kind: 'diameter-remeasured',
    atMs: atMs + Math.round(plan.afterS * 1000),
    ...ofRoll(finished),
    diameterM: reading(remeasuredDiameterM, tape, stream),
  };
}
