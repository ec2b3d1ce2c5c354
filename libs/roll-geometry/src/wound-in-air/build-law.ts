import { squaredDiameterPerFace } from '../build-up.js';

/** What a diameter is held against. */
export type BuildLawName = 'length' | 'wraps';

/**
 * A quantity of the diameter (the ordinate) that grows in a straight line, its slope the layer thickness. The position runs in m of web or in wraps.
 *
 * - `length`: `pi/4 D^2 = pi/4 D0^2 + h L`, the area of the end face.
 * - `wraps`: `D/2 = D0/2 + h N`, the radius.
 *
 * Source: conservation of the area of the end face, own derivation; see build-up.ts.
 */
export interface BuildLaw {
  readonly ordinate: (diameterM: number) => number;
  readonly diameterM: (ordinate: number) => number;
  /** Derivative of the ordinate by the diameter: what noise of the diameter becomes. */
  readonly ordinatePerDiameter: (diameterM: number) => number;
  /** Relative standard uncertainty of the slope from scale and zero of the gauge and from the scale of the position, all independent. */
  readonly calibrationRatio: (errors: CalibrationErrors) => number;
  /** A stretch chosen by itself gets no longer than this. Own choice: about a tenth of a large roll. */
  readonly longestStretch: number;
  /** Readings at which less was wound on since the last one do not count: a standing roll shows the same error again and again. Own choice. */
  readonly leastAdvance: number;
}

interface CalibrationErrors {
  readonly diameterM: number;
  readonly gaugeZeroM: number;
  readonly gaugeScaleRatio: number;
  readonly lengthRatio: number;
}

export const buildLaws: Readonly<Record<BuildLawName, BuildLaw>> = {
  length: {
    ordinate: (diameterM) => diameterM ** 2 / squaredDiameterPerFace,
    diameterM: (ordinate) => Math.sqrt(Math.max(0, squaredDiameterPerFace * ordinate)),
    ordinatePerDiameter: (diameterM) => (2 * diameterM) / squaredDiameterPerFace,
    // A scale error enters squared; a zero error o turns D^2 into D^2 + 2 o D, of slope 1 + o/D.
    calibrationRatio: ({ diameterM, gaugeZeroM, gaugeScaleRatio, lengthRatio }) =>
      Math.hypot(2 * gaugeScaleRatio, gaugeZeroM / diameterM, lengthRatio),
    longestStretch: 3200,
    leastAdvance: 0.2,
  },
  wraps: {
    ordinate: (diameterM) => diameterM / 2,
    diameterM: (ordinate) => 2 * ordinate,
    ordinatePerDiameter: () => 0.5,
    // A zero error moves every radius alike; wraps are counted, not measured.
    calibrationRatio: ({ gaugeScaleRatio }) => gaugeScaleRatio,
    longestStretch: 3000,
    leastAdvance: 0.2,
  },
};
