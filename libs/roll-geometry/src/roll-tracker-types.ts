import type { Known, Quantity, Reason, Unknown } from '@edge-margin/units';
import type { BuildEstimate } from './build-estimate.js';
import type { PendingStep } from './pending-step.js';

/** What the diameter is taken from. */
export type DiameterSource = 'gauge' | 'rotation' | 'length';

/** What the tracker must know of the station, the grade and the machine. A changed grade or core may come with any cell. */
export interface RollTrackerConfig {
  readonly gradeId: string;
  /** Outside diameter of the core, m, > 0. */
  readonly coreDiameterM: number;
  /** Caliper of one web, m, > 0; stands for the layer thickness until the roll has shown its own. */
  readonly caliperM: number;
  readonly diameterFrom: DiameterSource;
  /** Highest speed of the winder, m/s, > 0: bounds what can have been wound unseen. */
  readonly maxSpeedMPerS: number;
  /** Largest roll of the winder, m, > 0. */
  readonly maxDiameterM: number;
  /** Relative standard uncertainty of the caliper as a layer thickness (caliper tolerance and wound-in air). Own assumption: 0.05. */
  readonly caliperUncertaintyRatio?: number;
  /** How long a diameter is predicted without a reading, s. Own choice: 60. */
  readonly predictForS?: number;
  /** Consecutive readings that must agree before a jump counts as real. Own choice: 5. */
  readonly confirmCells?: number;
  /** At or below this speed the winder stands, m/s. Own choice: 0.05. */
  readonly standstillSpeedMPerS?: number;
}

/** What was measured at a station in one closed cell of the event-time grid. A stale or missing signal is unknown, with its reason. */
export interface RollCell {
  /** End of the cell, epoch ms, later than the cell before. */
  readonly atMs: number;
  /** Mean web speed of the cell, m/s. */
  readonly speedMPerS: Known | Unknown;
  /** Gauge, m. */
  readonly diameterM: Quantity;
  /** 1/s. */
  readonly coreRotationHz: Quantity;
  /** Length wound since the start of the roll, as the machine counts it, m. */
  readonly woundLengthM: Quantity;
  /** 1 while a roll is being wound, 0 between rolls; of several within the cell, the smallest. */
  readonly winding: Quantity;
}

export type RollPhase = 'winding' | 'stopped';

/** The roll as it is at the end of the cell. */
export interface TrackedRoll {
  readonly startedAtMs: number;
  /** False where the start was not seen: then `startedAtMs` is when the roll was first seen. */
  readonly startSeen: boolean;
  readonly phase: RollPhase;
  readonly diameterM: Quantity;
  readonly woundLengthM: Quantity;
  readonly wrapCount: Quantity;
  /** Radial thickness of one wrap as it lies in the roll. */
  readonly layerThicknessM: Known;
  /** `measured` once this roll has told its layer thickness better than the caliper does. */
  readonly layerThicknessFrom: 'caliper' | 'measured';
}

/** Something happened to a roll. `atMs` may lie some cells back: a jump is believed only after it was confirmed. */
export type RollEvent =
  | { readonly kind: 'started'; readonly atMs: number; readonly startSeen: boolean; readonly because: Reason }
  | {
      readonly kind: 'ended';
      readonly atMs: number;
      readonly because: Reason;
      readonly startedAtMs: number;
      readonly diameterM: Quantity;
      readonly woundLengthM: Quantity;
      readonly wrapCount: Quantity;
    }
  | { readonly kind: 're-anchored'; readonly atMs: number; readonly because: Reason };

/** State of the fold: plain JSON, below 1 kB. */
export interface RollTrackerState {
  readonly version: 1;
  readonly atMs: number | null;
  readonly basis: Pick<RollTrackerConfig, 'gradeId' | 'coreDiameterM' | 'caliperM' | 'diameterFrom'> | null;
  /** The winding signal in the last cell. */
  readonly winding: 0 | 1 | null;
  /** While no roll is there: nothing was seen yet, a roll ended, or an empty core stands in the station. */
  readonly absence: 'unseen' | 'between' | 'at-core';
  /** The last wound length used. */
  readonly lengthSignal: { readonly m: number; readonly atMs: number } | null;
  readonly diameterStep: PendingStep | null;
  readonly lengthStep: PendingStep | null;
  readonly roll: RollState | null;
  readonly notUsedCount: number;
}

export interface RollState {
  readonly startedAtMs: number;
  readonly startSeen: boolean;
  readonly phase: RollPhase;
  /** Null until a first diameter. */
  readonly build: BuildEstimate | null;
  /** Length counted or signalled, with its standard uncertainty; null where only the diameter tells it. */
  readonly length: { readonly m: number; readonly u: number } | null;
  /** Added to the length signal: not 0 where the machine's counter was reset at another moment than the roll began. */
  readonly lengthOffsetM: number;
}

/** What one cell made of the state. */
export interface RollTrackerStep {
  readonly state: RollTrackerState;
  readonly roll: TrackedRoll | null;
  /** Why there is no roll; null where there is one. */
  readonly noRoll: Reason | null;
  readonly events: readonly RollEvent[];
  /** Readings of this cell that were not used. */
  readonly notUsed: readonly Reason[];
  /** All readings not used so far. */
  readonly notUsedCount: number;
}
