import type { DisplaySystem } from '@edge-margin/units';
import type { AirCondition } from './air-condition.js';
import type { AirProperties } from './air-properties.js';
import type { WoundWithoutNip } from './nip-load/index.js';

/** The web that is wound, as far as the air cares. */
export interface WoundWeb {
  /** Width of one roll, m: air leaves at its two edges. */
  readonly widthM: number;
  /** Caliper, m. Used only together with `modulusPa`. */
  readonly caliperM: number;
  /** Combined rms roughness of the two faces that meet in the roll, m: `sqrt(Rq1^2 + Rq2^2)`. */
  readonly combinedRoughnessM: number;
  /** Air permeance through the web, m/(Pa s), >= 0; 0 = airtight. */
  readonly permeanceMPerPaS: number;
  /** Mass per area, kg/m2. Left out: inertia of the web is neglected. */
  readonly grammageKgPerM2?: number;
  /** Kinetic friction, web on web. Left out: traction is given only as a share of the friction. */
  readonly frictionRatio?: number;
  /** Elastic modulus in machine direction, Pa. Left out: no word on whether the stack relaxes. */
  readonly modulusPa?: number;
  /**
   * Caliper of the widest part of the web less that of its thinnest lane, as it stays over many turns, m. Left out: the roll counts as even. Needs `coverThicknessM` of the nip, which tells how
   * far the cover follows.
   */
  readonly profileRangeM?: number;
  /** Share of the width that the thin lane takes; 0.1 if left out (own assumption). */
  readonly thinLaneWidthRatio?: number;
}

/** A covered roller pressed on the winding roll. */
export interface WinderNip {
  /**
   * Only in a list of nips: true for the one where the web meets the roll. That one alone holds air back; the others press on wraps that have
   * their air already.
   */
  readonly whereWebArrives?: boolean;
  readonly rollerDiameterM: number;
  /** Young's modulus of the cover, Pa. */
  readonly coverModulusPa: number;
  /** Poisson ratio of the cover; 0.5 if left out (rubber). */
  readonly coverPoissonRatio?: number;
  /** Left out: the cover counts as thick against the contact, which makes the film too thick if it is not. */
  readonly coverThicknessM?: number;
  /** Nip load per width of web under the nip, N/m, >= 0; 0 = not touching. */
  readonly loadNPerM: number;
  /** What the roller bends by. Left out: it counts as straight. Needs `coverThicknessM`. */
  readonly bending?: NipBending;
  /** Angle over which the web lies on the roll before it comes to the nip, rad; 0 if left out: it arrives in the nip. */
  readonly wrapBeforeNipRad?: number;
}

/** The nip roller as a beam on two bearings. */
export interface NipBending {
  /** Distance of the bearings, m, at least the contact width. */
  readonly bearingSpanM: number;
  /** E I of the roller, N m2 (`tubeBendingStiffness`). */
  readonly bendingStiffnessNM2: number;
  /** Width of web under the nip, all rolls of the station together, m; the width of the roll if left out. */
  readonly contactWidthM?: number;
  /** Part of the roller's own weight that bends it towards the roll, N per m of contact width; 0 if left out. */
  readonly weightTowardsRollNPerM?: number;
  /** How much larger the radius is in the middle of the contact than at its ends, m; 0 if left out. */
  readonly crownM?: number;
}

/** What is running now. */
export interface WindingState {
  /** Web speed, m/s, >= 0. */
  readonly speedMPerS: number;
  /** Outside diameter of the winding roll, m. */
  readonly rollDiameterM: number;
  /** Web tension per width, N/m. */
  readonly tensionNPerM: number;
  /** Outside diameter of the core, m; 0 if left out. Used only with `profileRangeM`. */
  readonly coreDiameterM?: number;
}

/** Shares of the web that pass a touching nip without being held by it. What is left out is 0. */
export interface NipShares {
  /** Share of the time in which the nip has lost contact, 0 to 1: one figure, or one for each end of the roller. */
  readonly contactLostRatio?: number | NipEnds;
  /** Share of the width that the nip does not reach, 0 to 1. */
  readonly uncoveredWidthRatio?: number;
  /** True where the web touches the roll before it comes to the nip. */
  readonly webTouchesBeforeNip?: boolean;
  /** Shares with their reasons, as `unpressedLanes`, `unpressedRolls`, `unpressedByBending`, `contactLostInTime` and `webTouchesFirst` give them. */
  readonly woundWithoutNip?: readonly WoundWithoutNip[];
}

/** A share for each end of the nip roller. */
export interface NipEnds {
  readonly tendingSideRatio: number;
  readonly driveSideRatio: number;
}

/** One operating point of one roll. */
export interface AirPoint {
  readonly web: WoundWeb;
  /** The nip where the web arrives. Null where no roller touches the roll there, or where `nips` are given. */
  readonly nip: WinderNip | null;
  /** Instead of `nip`: all rollers on the roll, of which at most one is where the web arrives. */
  readonly nips?: readonly WinderNip[];
  /** Where the nip works only part of the time or on part of the width. */
  readonly nipShares?: NipShares;
  /** 23 C and one atmosphere if left out. */
  readonly air?: AirProperties | AirCondition;
  readonly running: WindingState;
  /** Outer wraps that may keep a film above the boundary film, >= 1; 3 if left out (own choice, to be calibrated). */
  readonly floatingWrapsAllowed?: number;
  /** Boundary film as a multiple of 3 x combined roughness; 1 if left out (until rated rolls calibrate it). */
  readonly boundaryFactor?: number;
  /** Highest speed of the machine, m/s; 100 if left out. */
  readonly speedLimitMPerS?: number;
  /** Units of the sentences in an answer; metric if left out. Figures are SI whatever it says. */
  readonly display?: DisplaySystem;
}
