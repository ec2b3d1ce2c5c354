import { exponential } from '../math/portable-math.js';
import { type RandomStream, resumeStream } from '../random/random-stream.js';
import { seedStream } from '../random/seed-stream.js';
import { ENDS } from '../winder/ends.js';
import { type FinishedRoll, ofRoll, rollName } from './finished-roll.js';
import type { RingsRead } from './people-record.js';
import type { RingPlan } from './people-schema.js';
import { reading } from './reading.js';
import { trueRings } from './true-rings.js';

/** The rings that somebody reads off both edges: some overlooked, some that are not there, radii with a ruler's error. */
export function readRings(plan: RingPlan, finished: FinishedRoll, seed: number): readonly RingsRead[] {
  const stream = resumeStream(seedStream(seed, `people/rings/${rollName(finished)}`));
  const { coreDiameterM, diameterM } = finished.roll;
  const atMs = finished.roll.atMs + Math.round(stream.uniform() * plan.afterS * 1000);
  const anywhere = (): number => coreDiameterM / 2 + stream.uniform() * (diameterM / 2 - coreDiameterM / 2);
  return ENDS.map((end) => {
    const seen = trueRings(finished.bands, end, plan)
      .filter(() => stream.uniform() >= plan.missingChance)
      .map((ring) => ring.radiusM);
    const imagined = Array.from({ length: poisson(plan.falsePerRoll / ENDS.length, stream) }, anywhere);
    const ruler = { error: plan.readingErrorM, quantum: plan.quantumM };
    const radiiM = [...seen, ...imagined].map((radiusM) => reading(radiusM, ruler, stream));
    return { kind: 'rings-read', atMs, ...ofRoll(finished), end, radiiM: radiiM.sort((a, b) => a - b) };
  });
}

/** Number of events where `mean` are expected (Knuth 1969, product of uniform numbers). */
function poisson(mean: number, stream: RandomStream): number {
  const least = exponential(-mean);
  let product = stream.uniform();
  let count = 0;
  while (product > least) {
    product *= stream.uniform();
    count += 1;
  }
  return count;
}
