import type { DisplaySystem, Quantity, Reason } from '@edge-margin/units';
import type { BuildLawName } from './build-law.js';
import type { BlockRow, Point } from './block-row.js';
import type { Departure } from './departure.js';
import type { SlopeOfStretch } from './excess-line.js';
import type { Reach } from './reach.js';
import type { ReadingScatter } from './reading-scatter.js';

/** What was measured at one roll in one closed cell of the event-time grid (1 s). */
export interface WoundInAirCell {
  /** End of the cell, epoch ms, later than the cell before. */
  readonly atMs: number;
  /** Another id is another roll: everything begins anew. */
  readonly rollId: string;
  /** Diameter as read in this cell, m; how far it scatters stands in the configuration. Never a filtered or predicted one: those already contain a layer thickness. */
  readonly diameterM: Quantity;
  /** Length as the machine counts it, m. Never one computed from the diameter: its slope would be the layer thickness that went into it. */
  readonly woundLengthM: Quantity;
  /** Wraps as counted at the core. Never computed from the diameter. */
  readonly wrapCount?: Quantity;
  /** Mean web speed of the cell, m/s: tells the length where the counter does not. */
  readonly speedMPerS: Quantity;
}

/** What must be known of caliper, gauge and counter. May come changed with any cell; a changed caliper or law begins anew. */
export interface WoundInAirConfig {
  /** Caliper of one web, m, > 0. */
  readonly caliperM: number;
  /** Relative standard uncertainty of the caliper, >= 0. */
  readonly caliperUncertaintyRatio: number;
  /** Standard uncertainty of one cell's diameter reading, m, > 0: its scatter; its zero is taken to be known as well as that. */
  readonly gaugeUncertaintyM: number;
  /** Relative standard uncertainty of the length counter, >= 0. */
  readonly lengthUncertaintyRatio: number;
  /** Units of the sentences; metric if left out. */
  readonly display?: DisplaySystem;
  /** Relative standard uncertainty of the gauge's scale, >= 0. Own assumption: 0.001. */
  readonly gaugeScaleUncertaintyRatio?: number;
  /** The abscissa: wound length, or counted wraps, which need no length and halve the weight of the gauge's scale. `wraps` where `windowWraps` is given, else `length`. */
  readonly over?: BuildLawName;
  /** A film of this size is to be told from none, m, > 0: the model's film, where there is one. Own choice: a tenth of the caliper. */
  readonly filmToSeeM?: number;
  /** Length of the stretch that counts, m, > 0, where it is not to be chosen. */
  readonly windowM?: number;
  /** The same in wraps. */
  readonly windowWraps?: number;
}

/** State of the fold: plain JSON, below 3 kB. */
export interface WoundInAirState {
  readonly version: 1;
  readonly atMs: number | null;
  readonly basis: {
    readonly rollId: string;
    readonly caliperM: number;
    readonly over: BuildLawName;
  } | null;
  readonly reach: Reach;
  /** The last readings that could be placed, used or refused. */
  readonly recent: readonly Point[];
  /** Only readings from here on may begin a stretch. */
  readonly freshFrom: number;
  /** The stretch in hand, condensed; empty until readings agree. */
  readonly row: BlockRow;
  readonly refusedInARow: number;
  readonly departure: Departure;
  readonly scatter: ReadingScatter;
  /** How many stretches ended lately, each fading by a half per cent with every reading. */
  readonly unrest: number;
  /** What the stretch told that ended last. */
  readonly before: SlopeOfStretch | null;
  readonly notUsedCount: number;
}

/** What is known of the air wound in over the stretch that ends now. */
export interface WoundInAir {
  readonly over: BuildLawName;
  /** Radial thickness of one wrap as it lies in the roll. */
  readonly layerThicknessM: Quantity;
  /** Layer less caliper: air less what caliper and web were compressed. May be negative. */
  readonly airThicknessM: Quantity;
  /** This stretch less the one before it: the caliper cancels, and so do scale and length but for their share of the difference. */
  readonly changeSinceM: Quantity;
  /** Where it was measured: m of web or wraps; null where nothing was. */
  readonly stretch: {
    readonly from: number;
    readonly to: number;
    readonly cellCount: number;
    /** Scatter of one reading that was reckoned with, m. */
    readonly scatterM: number;
  } | null;
  /** Standard uncertainties that make up that of the air, m; null where nothing was measured. */
  readonly contributions: AirContributions | null;
  readonly verdict: 'conclusive' | 'not-conclusive';
  readonly because: Reason;
}

export interface AirContributions {
  /** Scatter of the readings: falls with the stretch to the power -3/2. */
  readonly noiseM: number;
  /** Scale and zero of the gauge, scale of the length. */
  readonly calibrationM: number;
  readonly caliperM: number;
}

/** What one cell made of the state. */
export interface WoundInAirStep {
  readonly state: WoundInAirState;
  readonly measured: WoundInAir;
  /** Why a new stretch was begun in this cell; null mostly. */
  readonly stretchEnded: Reason | null;
  /** Why the reading of this cell was not used; null where it was, or where there was none. */
  readonly notUsed: Reason | null;
}
