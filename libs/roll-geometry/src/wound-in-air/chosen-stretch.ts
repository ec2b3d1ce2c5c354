import type { Block } from './block-row.js';
import { type ExcessLine, excessLine } from './excess-line.js';

/** How a stretch is chosen. */
export interface StretchChoice {
  /** Standard deviation of the excess of a single reading. */
  readonly deviation: number;
  /** The noise of the slope that is good enough, m. */
  readonly wantedNoise: number;
  readonly longest: number;
  /** A fixed length instead; null where it is chosen. */
  readonly window: number | null;
}

export interface ChosenStretch {
  readonly line: ExcessLine;
  /** Index of its first block. */
  readonly first: number;
}

/** Readings that a stretch must have before it counts as good enough: a verdict on fewer would hang on how normal their scatter is. Own choice. */
export const leastReadings = 8;
/** Fewest blocks of a stretch. Own choice. */
const leastBlocks = 4;
/** Each stretch tried is longer by this factor. Own choice. */
const growth = 1.4;
/** Slopes of a shorter and a longer stretch contradict each other where their bands of this many standard uncertainties do not meet. Own choice. */
const bandDeviations = 3;

/**
 * The stretch up to the last block that tells the slope best.
 *
 * The noise of the slope falls with the stretch W to the power -3/2: `u(h) = u(y) sqrt(12/N)/W`, N readings evenly along it (least squares). But all
 * that happens within W is averaged, and a change is seen in full only W later. So the shortest stretch counts whose noise is as low as wanted; and as
 * stretches grow backwards from now, the last one counts whose slope still agrees with that of all shorter ones: after a change it reaches back to the
 * change only (intersection of confidence intervals: A. Goldenshluger and A. Nemirovski 1997, Math. Methods Stat. 6, 135).
 * @returns null where there are fewer than four blocks.
 */
export function chosenStretch(blocks: readonly Block[], choice: StretchChoice): ChosenStretch | null {
  const { deviation, longest, wantedNoise, window } = choice;
  const least = blocks.length - leastBlocks;
  if (least < 0) return null;
  const earliest = Math.min(firstWithin(blocks, window ?? longest), least);
  let chosen: ChosenStretch | null = null;
  let low = -Infinity;
  let high = Infinity;
  let first = window === null ? least : earliest;
  for (;;) {
    const line = excessLine(blocks, deviation, first);
    if (line !== null) {
      low = Math.max(low, line.slope - bandDeviations * line.noise);
      high = Math.min(high, line.slope + bandDeviations * line.noise);
      if (low > high) return chosen;
      chosen = { line, first };
      // A thick film is told by a few readings, but no verdict stands on fewer than this.
      if (line.noise <= wantedNoise && line.cellCount >= leastReadings) return chosen;
    }
    if (first === earliest) return chosen;
    first = Math.max(earliest, blocks.length - Math.ceil(growth * (blocks.length - first)));
  }
}

/** Index of the first block that lies no further back than a length. */
function firstWithin(blocks: readonly Block[], length: number): number {
  const end = blocks.at(-1)?.[1] ?? 0;
  return Math.max(
    0,
    blocks.findIndex((block) => end - block[1] <= length),
  );
}
