import { resumeStream } from '../random/random-stream.js';
import { seedStream } from '../random/seed-stream.js';
import { type FinishedRoll, rollName } from './finished-roll.js';
import type { DiameterRemeasured } from './people-record.js';
import type { RemeasurePlan } from './people-schema.js';
import { reading } from './reading.js';

/** The finished diameter as a tape shows it later, when some of the wound-in air has bled off: the build-up has shrunk. */
export function remeasureDiameter(
  plan: RemeasurePlan,
  finished: FinishedRoll,
  seed: number,
): DiameterRemeasured {
  const stream = resumeStream(seedStream(seed, `people/remeasured/${rollName(finished)}`));
  const { winder, station, roll, coreDiameterM, diameterM } = finished.roll;
  const settledM = diameterM - plan.bleedOffRatio * (diameterM - coreDiameterM);
  return {
    kind: 'diameter-remeasured',
    atMs: finished.roll.atMs + Math.round(plan.afterS * 1000),
    winder,
    station,
    roll,
    diameterM: reading(settledM, { error: plan.readingErrorM, quantum: plan.quantumM }, stream),
  };
}
