import type { Quantity, Reason } from '@edge-margin/units';

/**
 * What the service knows of one station at one grid time, as the API, the live stream, MQTT and the console's pages receive it.
 * SI throughout; instants are epoch ms. Frozen: fields are added, never changed.
 */
export interface StationAssessment {
  readonly version: 1;
  readonly winderId: string;
  readonly stationId: string;
  readonly atMs: number;
  readonly modelRevision: string;
  readonly configurationRevision: string;
  readonly simulated: boolean;
  readonly grade: {
    readonly id: string;
    readonly name: string;
    /** Rated rolls have confirmed the boundary and an engineer has activated it: people are called. */
    readonly activated: boolean;
    readonly ratedRolls: number;
  };
  readonly roll: {
    readonly rollId: string;
    readonly startedAtMs: number;
    readonly coreDiameterM: number;
    readonly setEndDiameterM: number | null;
    readonly diameterM: Quantity;
    readonly woundLengthM: Quantity;
    readonly wrapCount: Quantity;
  } | null;
  readonly state: StationStateWords;
  readonly air: AirInHand;
  readonly nip: NipInHand;
  readonly risk: EdgeRisk;
  readonly forecast: Forecast;
  readonly remedy: Remedy | null;
  /** The other set points, smallest change first, then those that cannot help; empty where nothing needs to be changed. */
  readonly alternatives: readonly Alternative[];
  /** Air that the growth of the roll shows; null without a roll. */
  readonly woundInAir: MeasuredAir | null;
  /** The largest contribution, one sentence: `air: the film grows with the diameter`. */
  readonly because: Reason;
  /** Latest readings used, with their age at `atMs`. */
  readonly inputs: readonly InputReading[];
  /** Mechanisms that nobody watches here, in words. */
  readonly notWatched: readonly Reason[];
}

export interface StationStateWords {
  readonly word: 'clear-to-end' | 'free-from' | 'free-now' | 'not-watched' | 'trial' | 'no-roll';
  /** `clear to end of set`, `wraps free to move from 830 mm`, `wraps free to move now`, `not watched: no diameter since 02:31`, `trial: ...`. Diameter in mm. */
  readonly because: Reason;
}

export interface AirInHand {
  readonly applies: boolean;
  /** Why it does not apply, or why it is not known; what drives it otherwise. */
  readonly because: Reason;
  /** 1 - V/Vcrit. */
  readonly marginRatio: Quantity;
  readonly criticalSpeedMPerS: Quantity;
  readonly filmCriticalSpeedMPerS: Quantity;
  readonly woundInFilmM: Quantity;
  readonly filmRatio: Quantity;
  /** Where the nip lifts off it keeps no air out: how thick the film is there; null while it presses. The share of the length is not known from peaks alone. */
  readonly nipLifted: Reason | null;
  /** Where a touching nip does not hold the air back; left out while it works everywhere and always. */
  readonly nipInPart?: NipInPart;
}

/** The share of the web that a touching nip does not hold, as known from profile and bending, and the causes. */
export interface NipInPart {
  /** Each cause by name: contact lost at an end, a thin lane below the nip, the bent roller, the web touching before the nip. */
  readonly because: readonly Reason[];
  /** Film that goes in there, m. */
  readonly withoutNipFilmM: number;
  /** Share of the length on which the nip is missing somewhere in the width; left out where it is not known, as with contact lost by peaks alone. */
  readonly lengthShareRatio?: number;
  /** Share of the width where it is missing at some time. */
  readonly widthShareRatio?: number;
  /** Critical speed and margin of the worst place alone; that of the whole width stands in the margin. */
  readonly criticalSpeedMPerS?: Quantity;
  readonly marginRatio?: Quantity;
}

export interface NipInHand {
  readonly watched: boolean;
  readonly because: Reason;
  /** 1 - the larger of the two indicators below, each as a share of its limit, over both ends. */
  readonly inHandRatio: Quantity;
  /** Nip load per contact width over the whole nip, measured or reckoned from what the plant file says. */
  readonly loadNPerM: Quantity;
  readonly ends: readonly NipEnd[];
}

export interface NipEnd {
  readonly end: 'tending' | 'drive' | 'both';
  /** Peak inertia force towards lift-off over static nip force; 1 = contact lost. */
  readonly contactLossRatio: Quantity;
  /** (mean - minimum) / mean of the nip load. */
  readonly swingRatio: Quantity;
  /** Evidence that the nip lifted off. */
  readonly contactLost: boolean;
}

export interface EdgeRisk {
  /** Chance 0..1 that the wraps wound now are free to move or displaced more than allowed. */
  readonly now: Quantity;
  readonly air: Quantity;
  readonly nip: Quantity;
  /** Calibrated: chance of a rough edge; else chance that wraps are free to move. */
  readonly meaning: 'rough-edge' | 'wraps-free-to-move';
  /** The limit at which the boundary counts as reached. */
  readonly limit: number;
  /** What was wound so far, core outwards: highest risk within each step of diameter. */
  readonly wound: readonly RiskAtDiameter[];
}

export interface RiskAtDiameter {
  readonly diameterM: number;
  readonly risk: number;
}

export interface Instant {
  readonly diameterM: number;
  readonly atMs: number;
}

export interface Forecast {
  /** Risk over the diameter to come at the present (or planned) speed, nip load and tension; empty where unknown. */
  readonly ahead: readonly RiskAtDiameter[];
  /** The same if the remedy is made. */
  readonly aheadAfterRemedy: readonly RiskAtDiameter[];
  /** Null where the roll stays clear to its end, or where nothing can be said (see `because`). */
  readonly boundary: {
    readonly earliest: Instant;
    readonly expected: Instant;
    readonly latest: Instant | null;
  } | null;
  readonly setEnd: Instant | null;
  /** Earliest boundary less the time the response needs. */
  readonly actBy: Instant | null;
  readonly because: Reason;
}

/** A change of one set point that restores the target. Advice to a person, never a command to a machine. */
export interface Remedy {
  readonly setPoint: 'speed' | 'nipLoad';
  /** SI: m/s, N/m. */
  readonly from: number;
  readonly to: number;
  readonly byDiameterM: number | null;
  readonly byMs: number | null;
  readonly because: Reason;
  /** What the change costs or does elsewhere. */
  readonly sideEffects: readonly Reason[];
}

/** Measured wound-in air: effective layer thickness from the growth of the roll, less the caliper. Changes say more than the value. */
export interface MeasuredAir {
  readonly layerThicknessM: Quantity;
  /** Air less compression; may be negative within its uncertainty. */
  readonly airThicknessM: Quantity;
  /** The present stretch of web less the one before it. */
  readonly changeSinceM: Quantity;
  readonly verdict: 'conclusive' | 'not-conclusive';
  readonly because: Reason;
  readonly againstModel: {
    readonly verdict: 'agrees' | 'higher' | 'lower' | 'not-comparable';
    /** Measured less the middle of what the model expects. */
    readonly differenceM: Quantity;
    readonly because: Reason;
  };
}

/** Another set point than that of the remedy: how far it would have to go, or why it cannot help. Advice, never a command. */
export interface Alternative {
  readonly setPoint: 'speed' | 'nipLoad' | 'tension';
  readonly canHelp: boolean;
  /** SI; null where it cannot help. */
  readonly from: number | null;
  readonly to: number | null;
  readonly because: Reason;
  readonly sideEffects: readonly Reason[];
}

export interface InputReading {
  readonly signal: string;
  readonly end: 'tending' | 'drive' | 'both';
  readonly value: number | string;
  readonly atMs: number;
  readonly quality: 'good' | 'stale' | 'missing';
}
