import { type Known, known } from '@edge-margin/units';
import { squaredDiameterPerFace } from './build-up.js';

/**
 * What is believed of the build of a roll: squared diameter and layer thickness with their covariance (a Kalman filter of two states,
 * R. E. Kalman 1960, J. Basic Eng. 82, 35). The process is exact for a spiral: D^2 grows by 4 h dL / pi, so a reading that disagrees with
 * the wound length shows as such, and the layer thickness comes out as the slope of D^2 over length.
 */
export interface BuildEstimate {
  readonly diameterSquaredM2: number;
  readonly layerThicknessM: number;
  /** Variance of D^2 (m4), covariance of D^2 and h (m3), variance of h (m2). */
  readonly covariance: readonly [number, number, number];
  /** Longest length that may have been wound without anything telling, since the last reading used, m. */
  readonly unseenLengthM: number;
  /** Standard uncertainty of the last reading used, m. */
  readonly readingUncertaintyM: number;
  /** When the diameter was last told, epoch ms. */
  readonly seenAtMs: number;
}

/** Length wound in a cell: told by a signal, or only bounded. */
export type WoundStep =
  | { readonly kind: 'told'; readonly lengthM: number; readonly uncertaintyM: number }
  | { readonly kind: 'unseen'; readonly atMostM: number };

/** The layer thickness may wander by this share in 1000 m (speed, tension and air change it). Own assumption. */
const layerWanderRatioPerKm = 0.01;
/** The estimate never weighs more than this many readings, so that it follows within about half a minute. Own choice. */
const weighsAtMost = 30;
/** A reading further off than this many standard deviations, and than this share of the diameter, does not fit. Own choice. */
const gateDeviations = 5;
const gateRatio = 0.01;
/** A roll that is wound off further than the shaft has no smaller diameter than this. */
const leastSquareM2 = 1e-6;
/** Bounds of a believable layer thickness, times caliper. Own choice. */
const layerBounds = [0.5, 2] as const;

/** The build of a roll whose diameter is known once: at its core, or at its first reading. */
export function anchoredBuild(diameterM: Known, layerThicknessM: Known, atMs: number): BuildEstimate {
  return {
    diameterSquaredM2: diameterM.value ** 2,
    layerThicknessM: layerThicknessM.value,
    covariance: [squareVariance(diameterM), 0, layerThicknessM.uncertainty ** 2],
    unseenLengthM: 0,
    readingUncertaintyM: diameterM.uncertainty,
    seenAtMs: atMs,
  };
}

/** The build with a length more on it. Length of which nothing told is kept apart: it widens what is possible, to one side only. */
export function predictedBuild(build: BuildEstimate, wound: WoundStep): BuildEstimate {
  if (wound.kind === 'unseen') return { ...build, unseenLengthM: build.unseenLengthM + wound.atMostM };
  const [squareVar, covar, layerVar] = build.covariance;
  const perLayer = squaredDiameterPerFace * wound.lengthM;
  const fromLength = squaredDiameterPerFace * build.layerThicknessM * wound.uncertaintyM;
  const wander = (layerWanderRatioPerKm * build.layerThicknessM) ** 2 * (Math.abs(wound.lengthM) / 1000);
  return {
    diameterSquaredM2: Math.max(leastSquareM2, build.diameterSquaredM2 + perLayer * build.layerThicknessM),
    layerThicknessM: build.layerThicknessM,
    covariance: [
      squareVar + 2 * perLayer * covar + perLayer ** 2 * layerVar + fromLength ** 2,
      covar + perLayer * layerVar,
      layerVar + wander,
    ],
    unseenLengthM: build.unseenLengthM,
    readingUncertaintyM: build.readingUncertaintyM,
    seenAtMs: build.seenAtMs,
  };
}

/** Whether a reading fits what the wound length allows, or lies before or beyond it. */
export function readingVerdict(build: BuildEstimate, readingM: Known): 'fits' | 'back' | 'ahead' {
  const gate = gateM2(readingM, build.covariance[0]);
  const offset = readingM.value ** 2 - build.diameterSquaredM2;
  if (offset < -gate) return 'back';
  return offset > unseenGrowth(build) + gate ? 'ahead' : 'fits';
}

/** Whether a reading agrees with the diameter that an earlier one led to expect, or may have grown there unseen. */
export function readingAgrees(expectedM: number, readingM: Known, mayHaveGrownM2: number): boolean {
  const offset = readingM.value ** 2 - expectedM ** 2;
  const gate = gateM2(readingM, squareVariance(readingM));
  return offset >= -gate && offset <= gate + mayHaveGrownM2;
}

/** The build after a reading that fits. Unseen length is settled by it: uniformly distributed before (JCGM 100:2008, 4.3.7). */
export function correctedBuild(
  build: BuildEstimate,
  readingM: Known,
  caliperM: number,
  atMs: number,
): BuildEstimate {
  const unseen = unseenGrowth(build);
  const [, covar, layerVar] = build.covariance;
  const squareVar = build.covariance[0] + unseen ** 2 / 12;
  const readingVar = squareVariance(readingM);
  const total = squareVar + readingVar;
  const predicted = build.diameterSquaredM2 + unseen / 2;
  const innovation = readingM.value ** 2 - predicted;
  const layer = build.layerThicknessM + (covar / total) * innovation;
  const settledVar = (squareVar * readingVar) / total;
  return {
    diameterSquaredM2: predicted + (squareVar / total) * innovation,
    layerThicknessM: Math.min(layerBounds[1] * caliperM, Math.max(layerBounds[0] * caliperM, layer)),
    covariance: [
      Math.max(settledVar, readingVar / weighsAtMost),
      (covar * readingVar) / total,
      Math.max(0, layerVar - covar ** 2 / total),
    ],
    unseenLengthM: 0,
    readingUncertaintyM: readingM.uncertainty,
    seenAtMs: atMs,
  };
}

/** The build moved to a reading that contradicts it; what was learned of the layer thickness stays. */
export function reanchoredBuild(build: BuildEstimate, readingM: Known, atMs: number): BuildEstimate {
  const layer = known(build.layerThicknessM, Math.sqrt(build.covariance[2]));
  return anchoredBuild(readingM, layer, atMs);
}

/** The build with nothing learned of the layer thickness. */
export function withLayerThickness(build: BuildEstimate, layerThicknessM: Known): BuildEstimate {
  return {
    ...build,
    layerThicknessM: layerThicknessM.value,
    covariance: [build.covariance[0], 0, layerThicknessM.uncertainty ** 2],
  };
}

/**
 * The diameter. Its uncertainty is never below that of a single reading: nobody says which part of that is scatter, which averages out,
 * and which is calibration, which does not.
 */
export function diameterOf(build: BuildEstimate): Known {
  const unseen = unseenGrowth(build);
  const diameterM = Math.sqrt(build.diameterSquaredM2 + unseen / 2);
  const uncertaintyM = Math.sqrt(build.covariance[0] + unseen ** 2 / 12) / (2 * diameterM);
  return known(diameterM, Math.hypot(uncertaintyM, build.readingUncertaintyM));
}

/**
 * The layer thickness, as it goes with the length that was measured: a length that reads e too long makes it e too thin, and leaves what is predicted
 * from the same length untouched. A calibration error e of the diameter makes it 2 e too thick; that is added to what the filter believes.
 */
export function layerThicknessOf(build: BuildEstimate): Known {
  const fromDiameter =
    (2 * build.layerThicknessM * build.readingUncertaintyM) / Math.sqrt(build.diameterSquaredM2);
  return known(build.layerThicknessM, Math.hypot(Math.sqrt(build.covariance[2]), fromDiameter));
}

function unseenGrowth(build: BuildEstimate): number {
  return squaredDiameterPerFace * build.layerThicknessM * build.unseenLengthM;
}

/** Variance of the square of a diameter, first order: (2 D u)^2. */
function squareVariance({ value, uncertainty }: Known): number {
  return (2 * value * uncertainty) ** 2;
}

function gateM2(readingM: Known, squareVar: number): number {
  return Math.max(
    gateDeviations * Math.sqrt(squareVar + squareVariance(readingM)),
    2 * gateRatio * readingM.value ** 2,
  );
}
