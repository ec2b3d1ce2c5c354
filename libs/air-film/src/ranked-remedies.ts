import { type DisplaySystem, type Reason, reason } from '@edge-margin/units';
import type { AirPoint } from './air-point.js';
import type { QuantityLimits } from './exchange.js';
import { inWords } from './in-words.js';
import type { PointNumbers } from './point-numbers.js';
import {
  type AirRemedy,
  nipLoadRemedy,
  type RemedyPoint,
  remedyPoint,
  speedRemedy,
  tensionRemedy,
} from './remedies.js';

/** What the machine allows, SI. What is left out is taken from {@link limitsWhereNotGiven}. */
export interface SetPointLimits {
  readonly speedMPerS?: QuantityLimits;
  readonly nipLoadNPerM?: QuantityLimits;
  readonly tensionNPerM?: QuantityLimits;
}

type ChangeRemedy = Extract<AirRemedy, { kind: 'change' }>;

/** What is known of the roll that is being wound, for what a remedy costs. */
export interface RemedyContext {
  /** Web still to be wound on the set, m. Left out: no time cost is given. */
  readonly lengthLeftM?: number;
  /** Diameter by which the change has to be made, m. Left out: it is not mentioned. */
  readonly byDiameterM?: number;
  /**
   * What a change does to the mechanisms that this library knows nothing of: where resonances move, what nip bounce does. Called once for each possible
   * change; what it gives is added to the side effects.
   */
  readonly otherMechanisms?: (change: ChangeRemedy) => readonly Reason[];
  /** A set point that has been chosen already and is not looked at again. */
  readonly leaveOut?: ChangeRemedy['setPoint'] | undefined;
}

/** One set point: the smallest change that restores the margin with what it costs, or why it cannot help. */
export type RankedRemedy =
  | (ChangeRemedy & {
      /** `to/from - 1`; left out where `from` is 0. */
      readonly changeRatio?: number;
      readonly byDiameterM?: number;
      /** Time that the rest of the set takes longer, s; only where the length left is known. */
      readonly timeCostS?: number;
      readonly sideEffects: readonly Reason[];
    })
  | (Extract<AirRemedy, { kind: 'cannot-help' }> & { readonly setPoint: ChangeRemedy['setPoint'] });

/**
 * Where the machine's limits are not given: down to a tenth of the speed, up to twice the nip load, up to one and a half times the tension (own choice: what
 * somebody would still call a change of a set point).
 */
const limitsWhereNotGiven = { slowest: 0.1, mostNipLoad: 2, mostTension: 1.5 };

/**
 * The changes of one set point each (speed, nip load, tension) that restore a margin, the smallest relative change first; then those that cannot help, each
 * with its reason. Empty where the margin is met as it is.
 *
 * Every text is an observation ("a speed of ... leaves a margin of ..."), never a command, and defers to rated limits and site rules where it touches
 * nip or tension. The changes hold for the diameter of the point: for a target at the end of a set, put that diameter into the point.
 * @param marginRatio margin wanted, `1 - V/Vcrit`, below 1.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function remedies(
  point: AirPoint,
  marginRatio: number,
  limits: SetPointLimits = {},
  context: RemedyContext = {},
): readonly RankedRemedy[] {
  return remediesAt(remedyPoint(point), marginRatio, limits, context);
}

/** {@link remedies} of a point that is prepared. */
export function remediesAt(
  point: RemedyPoint,
  marginRatio: number,
  limits: SetPointLimits = {},
  context: RemedyContext = {},
): readonly RankedRemedy[] {
  const { numbers } = point;
  const found: RankedRemedy[] = [];
  for (const setPoint of ['speed', 'nipLoad', 'tension'] as const) {
    if (setPoint === context.leaveOut) continue;
    const { allowed, remedy } = setPoints[setPoint];
    const change = remedy(point, { marginRatio, ...allowed(numbers, limits) });
    if (change.kind === 'cannot-help') found.push({ ...change, setPoint });
    else if (change.kind === 'change') found.push(withCosts(change, numbers, context));
  }
  return found.sort((a, b) => (size(a) === size(b) ? 0 : size(a) - size(b)));
}

const setPoints = {
  speed: { allowed: speedLimits, remedy: speedRemedy },
  nipLoad: { allowed: nipLoadLimits, remedy: nipLoadRemedy },
  tension: { allowed: tensionLimits, remedy: tensionRemedy },
};

function speedLimits({ speedMPerS, speedLimitMPerS }: PointNumbers, limits: SetPointLimits): QuantityLimits {
  return limits.speedMPerS ?? { min: limitsWhereNotGiven.slowest * speedMPerS, max: speedLimitMPerS };
}

function nipLoadLimits({ nipLoadNPerM }: PointNumbers, limits: SetPointLimits): QuantityLimits {
  return limits.nipLoadNPerM ?? { min: 0, max: limitsWhereNotGiven.mostNipLoad * Math.max(nipLoadNPerM, 1) };
}

function tensionLimits({ tensionNPerM }: PointNumbers, limits: SetPointLimits): QuantityLimits {
  return limits.tensionNPerM ?? { min: 0, max: limitsWhereNotGiven.mostTension * tensionNPerM };
}

function withCosts(change: ChangeRemedy, point: PointNumbers, context: RemedyContext): RankedRemedy {
  const { byDiameterM } = context;
  const timeCostS = timeCost(change, point, context.lengthLeftM);
  return {
    ...change,
    because:
      byDiameterM === undefined ? change.because : withDiameter(change.because, byDiameterM, point.display),
    ...(change.from > 0 ? { changeRatio: change.to / change.from - 1 } : {}),
    ...(byDiameterM === undefined ? {} : { byDiameterM }),
    ...(timeCostS === undefined ? {} : { timeCostS }),
    sideEffects: [sideEffect(change, timeCostS), ...(context.otherMechanisms?.(change) ?? [])],
  };
}

/** The rest of the set at the new speed against the old; nothing for other set points. */
function timeCost(change: ChangeRemedy, point: PointNumbers, lengthLeftM: number | undefined) {
  if (lengthLeftM === undefined) return undefined;
  if (change.setPoint !== 'speed') return 0;
  return lengthLeftM / change.to - lengthLeftM / point.speedMPerS;
}

/** What else the change does to the roll (common practice, no source). */
function sideEffect(change: ChangeRemedy, timeCostS: number | undefined): Reason {
  if (change.setPoint === 'speed') {
    const cost = timeCostS === undefined ? '' : `, the rest of the set by ${minutes(timeCostS)}`;
    return reason(
      'takes-longer',
      `winding takes longer${cost}`,
      timeCostS === undefined ? {} : { timeCostS },
    );
  }
  if (change.setPoint === 'nipLoad')
    return reason(
      'tighter-and-harder',
      'a higher nip load winds tighter and may crush or burst a soft or bulky web',
    );
  return reason('breaks', 'a higher tension winds tighter and makes web breaks more likely');
}

function minutes(durationS: number): string {
  return durationS < 90 ? `${Math.round(durationS)} s` : `${Math.round(durationS / 60)} min`;
}

function withDiameter(because: Reason, byDiameterM: number, system: DisplaySystem): Reason {
  const text = `${because.text}, by a diameter of ${inWords('diameter', byDiameterM, system)}`;
  return reason(because.code, text, { ...because.params, byDiameterM });
}

/** How large a change is, on the logarithm; what cannot help comes last. */
function size(remedy: RankedRemedy): number {
  if (remedy.kind === 'cannot-help') return Infinity;
  return remedy.from > 0 ? Math.abs(Math.log(remedy.to / remedy.from)) : 1e3;
}
