import type { End } from '../winder/ends.js';

/** What people said of finished rolls, as lines of `people.jsonl`: opinions and readings, not the truth. */
export type PeopleRecord = EdgeRating | CaliperSurvey | RingsRead | DiameterRemeasured;

interface OfRoll {
  /** When it was said, epoch ms, true time. */
  readonly atMs: number;
  readonly winder: string;
  readonly station: string;
  readonly roll: number;
  /** Which of several rolls side by side, 0 at the tending side; left out: the station winds one. */
  readonly strip?: number;
}

export type Rating = 'good' | 'acceptable' | 'poor' | 'rejected';

/** One edge of one roll; an edge nobody looked at has no line. */
export interface EdgeRating extends OfRoll {
  readonly kind: 'edge-rating';
  readonly end: End;
  readonly rating: Rating;
}

/** Readings across one wrap, tending edge first. */
export interface CaliperSurvey extends OfRoll {
  readonly kind: 'caliper-survey';
  readonly readings: readonly { readonly fromTendingEdgeM: number; readonly caliperM: number }[];
}

/** Radii of the rings that somebody saw on one edge, inner ones first. */
export interface RingsRead extends OfRoll {
  readonly kind: 'rings-read';
  readonly end: End;
  readonly radiiM: readonly number[];
}

export interface DiameterRemeasured extends OfRoll {
  readonly kind: 'diameter-remeasured';
  readonly diameterM: number;
}
