import type { End } from '../winder/ends.js';

/** Where one wrap's two edges lie, against the place where a perfect web would lie; positive towards the drive side. */
export interface WrapEdges {
  readonly radiusM: number;
  readonly tendingM: number;
  readonly driveM: number;
}

/** A stretch of radius that counts as rough, by edge. */
export interface RoughStretch {
  readonly end: End;
  readonly innerRadiusM: number;
  readonly outerRadiusM: number;
}

/** All that the picture of one roll needs. */
export interface RollEdges {
  /** One line that tells the roll, e.g. `film-1 a, roll 1`. */
  readonly title: string;
  readonly coreRadiusM: number;
  readonly outerRadiusM: number;
  /** Innermost first. */
  readonly wraps: readonly WrapEdges[];
  readonly rough: readonly RoughStretch[];
}
