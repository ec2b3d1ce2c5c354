import type { Nip, Station } from '../scenario/scenario-schema.js';
import { sineOfTurns } from '../math/portable-math.js';
import type { Pair } from './ends.js';
import type { StationState } from './station-state.js';

/** What drives and cylinders really do to a station now. */
export interface Acting {
  readonly tensionNPerM: number;
  /** Closing force at each end of the nip, N; nothing while the nip is open. */
  readonly closingN: Pair;
  readonly pathM: number;
  readonly skewRad: number;
  /** Film bias of the run and of the moment. */
  readonly filmFactor: number;
}

/** Plan, taper, operator and disturbances together. */
export function actingOn(station: Station, state: StationState, atS: number, closedRatio: number): Acting {
  const share = builtShare(station, state.roll.radiusM);
  const { disturbances: d } = state;
  return {
    tensionNPerM: plannedTensionNPerM(station, state, share) * (1 + d.tension.value),
    closingN: closingForces(station, state, atS, closedRatio, share),
    pathM: d.path.value + shaftM(station, state),
    skewRad: d.skew.value,
    filmFactor: state.filmBias * (1 + d.film.value),
  };
}

function closingForces(
  station: Station,
  state: StationState,
  atS: number,
  closedRatio: number,
  share: number,
): Pair {
  const { nip } = station;
  if (nip === null) return [0, 0];
  const { nipLoad, nipLean } = state.disturbances;
  const swing = nip.swing.ratio * sineOfTurns(atS / nip.swing.periodS);
  const loadNPerM =
    plannedLoadNPerM(nip, state, share) * state.operator.nipLoadRatio * (1 + nipLoad.value + swing);
  const lean = nip.leanRatio + nipLean.value;
  const half = Math.max(0, (closedRatio * loadNPerM * station.widthM) / 2);
  return [half * Math.max(0, 1 + lean), half * Math.max(0, 1 - lean)];
}

const SLACK_RATIO = 0.2; // of the tension stays in the outer wraps of a roll whose web has broken

function plannedTensionNPerM({ tension }: Station, { line, roll }: StationState, share: number): number {
  const planned =
    tension.recipe === undefined
      ? tension.tensionNPerM * tapered(tension.taperRatio, share)
      : between(
          tension.recipe.map((point) => [point.diameterM, point.tensionNPerM] as const),
          2 * roll.radiusM,
        );
  return line.phase === 'break' ? planned * SLACK_RATIO : planned;
}

function plannedLoadNPerM(nip: Nip, { roll }: StationState, share: number): number {
  if (nip.recipe === undefined) return nip.loadNPerM * tapered(nip.taperRatio, share);
  return between(
    nip.recipe.map((point) => [point.diameterM, point.loadNPerM] as const),
    2 * roll.radiusM,
  );
}

/** Straight between the points, the end values beyond them. */
function between(points: readonly (readonly [at: number, value: number])[], at: number): number {
  const after = points.findIndex((point) => point[0] > at);
  const left = points[after < 0 ? points.length - 1 : after - 1];
  const right = points[after];
  if (left === undefined || right === undefined) return (left ?? points[0] ?? [0, 0])[1];
  return left[1] + ((right[1] - left[1]) * (at - left[0])) / (right[0] - left[0]);
}

/** Where the shaft lies within its end play. */
function shaftM({ path: { shaft } }: Station, state: StationState): number {
  if (shaft === undefined) return 0;
  const half = shaft.playM / 2;
  return Math.min(half, Math.max(-half, state.disturbances.shaft.value + state.shaftJumpM));
}

/** From 0 at the core to 1 at the set end, even in diameter. */
function builtShare({ coreDiameterM, setEndDiameterM }: Station, radiusM: number): number {
  return Math.min(1, Math.max(0, (2 * radiusM - coreDiameterM) / (setEndDiameterM - coreDiameterM)));
}

function tapered(endRatio: number, share: number): number {
  return 1 + (endRatio - 1) * share;
}

/** Half of the widening of a wrap under a nip load: friction stretches the web, and it narrows by Poisson's ratio. */
export function halfWideningM(
  station: Station,
  grade: {
    readonly friction: number;
    readonly poissonRatio: number;
    readonly modulusPa: number;
    readonly caliperM: number;
  },
  under: { readonly loadNPerM: number; readonly widthM: number },
): number {
  const stretch = (grade.friction * under.loadNPerM) / (grade.modulusPa * grade.caliperM);
  return (-station.path.narrowingRatio * grade.poissonRatio * stretch * under.widthM) / 2;
}

/** Three standard deviations of the web's skew. */
export function utmostSkewRad(station: Station): number {
  return 3 * station.path.skew.rms;
}
