import { type Quantity, known, reason, unknown } from '@edge-margin/units';
import type {
  WoundInAirCell,
  WoundInAirConfig,
  WoundInAirState,
  WoundInAirStep,
} from './wound-in-air-types.js';
import { noWoundInAirSeen, stepWoundInAir } from './step-wound-in-air.js';

/** Seeded random numbers (xorshift, 32 bits; own), uniform and normal. */
export function randomNumbers(seed: number) {
  let state = (seed * 2654435761 + 12345) >>> 0 || 1;
  const uniform = () => {
    state ^= state << 13;
    state >>>= 0;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return (state + 0.5) / 4294967296;
  };
  for (let each = 0; each < 20; each += 1) uniform();
  const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
  return { uniform, normal };
}

/** A roll as it is wound, and how it is measured. */
export interface RollToWind {
  readonly caliperM: number;
  /** Air under the wrap that is laid down at a length and diameter, m. */
  readonly airM: (lengthM: number, diameterM: number) => number;
  readonly fromDiameterM: number;
  readonly speedMPerS: (second: number) => number;
  readonly seconds: number;
  readonly noiseM: number;
  /** Errors of the instruments, unknown to the code under test. */
  readonly gaugeScale?: number;
  readonly gaugeZeroM?: number;
  readonly lengthScale?: number;
  /** What the gauge makes of a diameter in a second, after its errors. */
  readonly gauge?: (diameterM: number, second: number) => Quantity;
  readonly counterStepM?: number;
}

export interface TrueCell {
  readonly cell: WoundInAirCell;
  readonly lengthM: number;
  readonly diameterM: number;
  readonly airM: number;
}

/** The true roll, grown step by step: each metre of web adds its own area to the end face. */
export function windRoll(roll: RollToWind, seed: number): readonly TrueCell[] {
  const { normal } = randomNumbers(seed);
  const cells: TrueCell[] = [];
  let [lengthM, squareM2, turns, airM] = [0, roll.fromDiameterM ** 2, 0, 0];
  for (let second = 1; second <= roll.seconds; second += 1) {
    const speedMPerS = roll.speedMPerS(second);
    for (let part = 0; part < 10; part += 1) {
      const stepM = speedMPerS / 10;
      const before = Math.sqrt(squareM2);
      airM = roll.airM(lengthM, before);
      squareM2 += (4 / Math.PI) * (roll.caliperM + airM) * stepM;
      turns += (2 * stepM) / (Math.PI * (before + Math.sqrt(squareM2)));
      lengthM += stepM;
    }
    const diameterM = Math.sqrt(squareM2);
    const read = diameterM * (1 + (roll.gaugeScale ?? 0)) + (roll.gaugeZeroM ?? 0) + roll.noiseM * normal();
    const counted = lengthM * (1 + (roll.lengthScale ?? 0));
    const counterStepM = roll.counterStepM ?? 0;
    cells.push({
      cell: {
        atMs: 1_760_000_000_000 + second * 1000,
        rollId: 'r1',
        diameterM: roll.gauge === undefined ? known(read) : roll.gauge(read, second),
        woundLengthM: known(counterStepM === 0 ? counted : Math.floor(counted / counterStepM) * counterStepM),
        wrapCount: known(turns),
        speedMPerS: known(speedMPerS),
      },
      lengthM,
      diameterM,
      airM,
    });
  }
  return cells;
}

export function measure(
  cells: readonly TrueCell[],
  config: WoundInAirConfig,
  from: WoundInAirState = noWoundInAirSeen,
): readonly WoundInAirStep[] {
  let state = from;
  return cells.map(({ cell }) => {
    const step = stepWoundInAir(state, cell, config);
    state = step.state;
    return step;
  });
}

export const missing = unknown(reason('missing', 'no reading'));
