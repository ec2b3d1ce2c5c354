import type { Station } from '../scenario/scenario-schema.js';
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
    tensionNPerM:
      station.tension.tensionNPerM * tapered(station.tension.taperRatio, share) * (1 + d.tension.value),
    closingN: closingForces(station, state, atS, closedRatio, share),
    pathM: d.path.value,
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
    nip.loadNPerM *
    tapered(nip.taperRatio, share) *
    state.operator.nipLoadRatio *
    (1 + nipLoad.value + swing);
  const lean = nip.leanRatio + nipLean.value;
  const half = Math.max(0, (closedRatio * loadNPerM * station.widthM) / 2);
  return [half * Math.max(0, 1 + lean), half * Math.max(0, 1 - lean)];
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
  loadNPerM: number,
): number {
  const stretch = (grade.friction * loadNPerM) / (grade.modulusPa * grade.caliperM);
  return (-station.path.narrowingRatio * grade.poissonRatio * stretch * station.widthM) / 2;
}

/** Three standard deviations of the web's skew. */
export function utmostSkewRad(station: Station): number {
  return 3 * station.path.skew.rms;
}
