import { cosineOfTurns, PI, sineOfTurns } from '../math/portable-math.js';
import type { Excitation } from '../scenario/scenario-schema.js';
import type { SurfaceMotion } from './roller-motion.js';
import { lengthShare, type Stretch } from './stretch.js';

/** What {@link surfaceMotion} adds to the regular waves: position and velocity of each end at whole steps, n + 1 values. */
export type SurfaceNoise = SurfaceMotion;

/** The surface under the roller's two points during a stretch: `sum a cos 2 pi (order x turns + phase)` and noise. */
export function surfaceMotion(
  excitation: readonly Excitation[],
  stretch: Stretch,
  steps: number,
  noise: SurfaceNoise,
): SurfaceMotion {
  const empty = (): Float64Array => new Float64Array(2 * steps + 1);
  const motion: SurfaceMotion = { positionM: [empty(), empty()], velocityMPerS: [empty(), empty()] };
  for (const one of excitation) addWave(one, stretch, steps, motion);
  for (const end of [0, 1] as const) {
    addBetween(noise.positionM[end], motion.positionM[end]);
    addBetween(noise.velocityMPerS[end], motion.velocityMPerS[end]);
  }
  return motion;
}

function addWave(one: Excitation, stretch: Stretch, steps: number, into: SurfaceMotion): void {
  for (let half = 0; half <= 2 * steps; half += 1) {
    const { turns, perS } = waveAt(one, stretch, half / (2 * steps));
    for (const end of [0, 1] as const) {
      const a = end === 0 ? one.amplitudeM : one.amplitudeM * one.driveRatio;
      const at = turns + one.phaseTurns + (end === 0 ? 0 : one.driveShiftTurns);
      const position = into.positionM[end];
      const velocity = into.velocityMPerS[end];
      position[half] = (position[half] as number) + a * cosineOfTurns(at);
      velocity[half] = (velocity[half] as number) - 2 * PI * perS * a * sineOfTurns(at);
    }
  }
}

/** Periods gone by and periods per second of one excitation at a share of the stretch's time. */
function waveAt(
  one: Excitation,
  s: Stretch,
  share: number,
): { readonly turns: number; readonly perS: number } {
  if ('frequencyHz' in one) {
    return { turns: one.frequencyHz * (s.fromS + share * s.durationS), perS: one.frequencyHz };
  }
  const gone = lengthShare(s, share);
  const speed = s.speedMPerS.from * (1 - share) + s.speedMPerS.to * share;
  if ('rollerDiameterM' in one) {
    const round = PI * one.rollerDiameterM;
    return { turns: (s.lengthM.from + gone * (s.lengthM.to - s.lengthM.from)) / round, perS: speed / round };
  }
  const length = s.lengthM.to - s.lengthM.from;
  const turned = s.turns.to - s.turns.from;
  return {
    turns: one.order * (s.turns.from + gone * turned),
    perS: length > 0 ? (one.order * speed * turned) / length : 0,
  };
}

function addBetween(whole: Float64Array, half: Float64Array): void {
  for (let i = 0; i < half.length; i += 1) {
    const left = whole[i >> 1] as number;
    const value = i % 2 === 0 ? left : (left + (whole[(i >> 1) + 1] as number)) / 2;
    half[i] = (half[i] as number) + value;
  }
}
