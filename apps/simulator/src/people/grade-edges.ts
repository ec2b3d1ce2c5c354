import { exponential } from '../math/portable-math.js';
import { type RandomStream, resumeStream } from '../random/random-stream.js';
import { seedStream } from '../random/seed-stream.js';
import type { BandTruth } from '../truth/truth-record.js';
import { type End, ENDS } from '../winder/ends.js';
import { type FinishedRoll, ofRoll, rollName } from './finished-roll.js';
import type { EdgeRating, Rating } from './people-record.js';
import type { Grader } from './people-schema.js';

/**
 * What the grader says of a finished roll: nothing, one edge or both.
 *
 * An edge counts as rough as all but its worst share is; the eye multiplies that by a habit of the run and a chance of the
 * look, both log-normal, and compares with three fixed limits. How much graders differ is common knowledge without a
 * source: that two looks at one edge disagree near a limit is the point.
 */
export function gradeEdges(grader: Grader, finished: FinishedRoll, seed: number): readonly EdgeRating[] {
  const stream = resumeStream(seedStream(seed, `people/grader/${rollName(finished)}`));
  const ends = endsLookedAt(grader, stream);
  const habit = resumeStream(seedStream(seed, 'people/grader')).normal() * grader.raterSpread;
  const atMs = finished.roll.atMs + Math.round(stream.uniform() * grader.afterS * 1000);
  return ends.map((end) => {
    const chance = exponential(habit + grader.repeatSpread * stream.normal());
    const seenM = roughnessM(finished.bands, end, grader.worstShareRatio) * chance;
    return { kind: 'edge-rating', atMs, ...ofRoll(finished), end, rating: ratingOf(grader, seenM) };
  });
}

function endsLookedAt(grader: Grader, stream: RandomStream): readonly End[] {
  const draw = stream.uniform();
  const one = stream.uniform() < 0.5 ? ENDS[0] : ENDS[1];
  if (draw < grader.bothEndsChance) return ENDS;
  return draw < grader.bothEndsChance + grader.oneEndChance ? [one] : [];
}

/** Edge roughness (rms of the step from wrap to wrap, m) that all but the worst share of an edge's wraps stay below. */
export function roughnessM(bands: readonly BandTruth[], end: End, worstShareRatio: number): number {
  const sorted = [...bands].sort((a, b) => b.edgeRmsM[end] - a.edgeRmsM[end]);
  let left = worstShareRatio * bands.reduce((sum, band) => sum + band.wraps, 0);
  for (const band of sorted) {
    left -= band.wraps;
    if (left < 0) return band.edgeRmsM[end];
  }
  return 0;
}

function ratingOf(grader: Grader, seenM: number): Rating {
  if (seenM < grader.goodBelowM) return 'good';
  if (seenM < grader.acceptableBelowM) return 'acceptable';
  return seenM < grader.poorBelowM ? 'poor' : 'rejected';
}
