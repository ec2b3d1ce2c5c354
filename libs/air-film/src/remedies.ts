import { type Reason, reason } from '@edge-margin/units';
import type { AirPoint } from './air-point.js';
import { type AirTerms, airTerms, airTermsUnder } from './air-terms.js';
import { arrivingNip } from './arriving-nip.js';
import { boundaryExcess } from './boundary-excess.js';
import { bracketedRoot } from './bracketed-root.js';
import { criticalSpeedOf, highestSpeedSearched } from './critical-speed.js';
import { inWords } from './in-words.js';
import { type PointNumbers, pointNumbers } from './point-numbers.js';
import { nipGoverns } from './wound-in-film.js';

/** A change of one set point that brings the margin to its target, or why there is none. Advice to a person, never a command to a machine. */
export type AirRemedy =
  | {
      readonly kind: 'change';
      readonly setPoint: 'speed' | 'nipLoad' | 'tension';
      /** SI: m/s or N/m. */
      readonly from: number;
      readonly to: number;
      readonly because: Reason;
    }
  | { readonly kind: 'not-needed'; readonly because: Reason }
  | { readonly kind: 'cannot-help'; readonly because: Reason };

/** What is asked of a remedy. */
export interface RemedyTarget {
  /** Margin wanted, `1 - V/Vcrit`, below 1. */
  readonly marginRatio: number;
  /** What the machine allows for the set point, SI: m/s or N/m. */
  readonly min: number;
  readonly max: number;
}

/** A point as all remedies need it, so that it is checked and computed once for three of them. */
export interface RemedyPoint {
  readonly numbers: PointNumbers;
  readonly terms: AirTerms;
  readonly hasNip: boolean;
  /** Undefined where there is none. */
  readonly criticalSpeedMPerS: number | undefined;
}

/**
 * Prepares a point for several remedies.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function remedyPoint(point: AirPoint): RemedyPoint {
  const numbers = pointNumbers(point);
  const terms = airTerms(numbers);
  const criticalSpeedMPerS = criticalSpeedOf(terms, highestSpeedSearched(numbers));
  return { numbers, terms, hasNip: arrivingNip(point) !== null, criticalSpeedMPerS };
}

/**
 * The speed at which an operating point has a target margin: `(1 - target) Vcrit`. For another diameter, put it into the point.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function speedForMargin(point: AirPoint, target: RemedyTarget): AirRemedy {
  return speedRemedy(remedyPoint(point), target);
}

/** {@link speedForMargin} of a point that is prepared. */
export function speedRemedy(
  { numbers, criticalSpeedMPerS: critical }: RemedyPoint,
  target: RemedyTarget,
): AirRemedy {
  checkTarget(target);
  const from = numbers.speedMPerS;
  if (critical === undefined || 1 - from / critical >= target.marginRatio) return notNeeded(target, numbers);
  const to = (1 - target.marginRatio) * critical;
  if (to < target.min) {
    const text = `a speed of ${inWords('speed', to, numbers.display)} would be needed, and the lowest is ${inWords('speed', target.min, numbers.display)}`;
    return cannotHelp('speed-too-low', text, { neededMPerS: to, minMPerS: target.min });
  }
  const text = `a speed of ${inWords('speed', to, numbers.display)} instead of ${inWords('speed', from, numbers.display)} ${leaves(target, numbers)}`;
  return {
    kind: 'change',
    setPoint: 'speed',
    from,
    to,
    because: reason('slow-down', text, { fromMPerS: from, toMPerS: to, marginRatio: target.marginRatio }),
  };
}

/**
 * The nip load at which an operating point has a target margin at its present speed.
 * More load helps little (about the fifth root), so a high target is often out of reach: that is said, with the reason.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function nipLoadForMargin(point: AirPoint, target: RemedyTarget): AirRemedy {
  return nipLoadRemedy(remedyPoint(point), target);
}

/** {@link nipLoadForMargin} of a point that is prepared. */
export function nipLoadRemedy(prepared: RemedyPoint, target: RemedyTarget): AirRemedy {
  checkTarget(target);
  const { numbers } = prepared;
  if (!prepared.hasNip) return cannotHelp('no-nip', 'no roller touches the winding roll');
  const { found, from, to } = raise(prepared, 'nipLoadNPerM', target);
  if (found === 'met') return notNeeded(target, numbers);
  if (found === 'reached') {
    const text = `a nip load of ${inWords('nipLoad', to, numbers.display)} instead of ${inWords('nipLoad', from, numbers.display)} ${leaves(target, numbers)}, if the machine's rated limits and the site's rules allow it`;
    return {
      kind: 'change',
      setPoint: 'nipLoad',
      from,
      to,
      because: reason('more-nip', text, { fromNPerM: from, toNPerM: to, marginRatio: target.marginRatio }),
    };
  }
  const text = `even the highest nip load of ${inWords('nipLoad', target.max, numbers.display)} does not thin the film enough`;
  return cannotHelp('nip-load-not-enough', text, { maxNPerM: target.max });
}

/**
 * The web tension at which an operating point has a target margin at its present speed.
 * Without a nip tension thins the film. Under an effective nip it does not: it then only helps the air out of a porous or narrow roll, which is rarely
 * enough, and that is said.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function tensionForMargin(point: AirPoint, target: RemedyTarget): AirRemedy {
  return tensionRemedy(remedyPoint(point), target);
}

/** {@link tensionForMargin} of a point that is prepared. */
export function tensionRemedy(prepared: RemedyPoint, target: RemedyTarget): AirRemedy {
  checkTarget(target);
  const { numbers, terms } = prepared;
  const { found, from, to } = raise(prepared, 'tensionNPerM', target);
  if (found === 'met') return notNeeded(target, numbers);
  if (found === 'reached') {
    const text = `a tension of ${inWords('tension', to, numbers.display)} instead of ${inWords('tension', from, numbers.display)} ${leaves(target, numbers)}, if the machine's rated limits and the site's rules allow it`;
    return {
      kind: 'change',
      setPoint: 'tension',
      from,
      to,
      because: reason('more-tension', text, {
        fromNPerM: from,
        toNPerM: to,
        marginRatio: target.marginRatio,
      }),
    };
  }
  if (nipGoverns(terms, numbers.speedMPerS)) {
    const text =
      'tension does not thin the film under an effective nip; it only presses the air out of the finished stack';
    return cannotHelp('tension-under-nip', text, { maxNPerM: target.max });
  }
  const text = `even the highest tension of ${inWords('tension', target.max, numbers.display)} does not thin the film enough`;
  return cannotHelp('tension-not-enough', text, { maxNPerM: target.max });
}

interface Raised {
  readonly found: 'met' | 'reached' | 'out-of-reach';
  readonly from: number;
  readonly to: number;
}

/** Raises one input until the critical speed is `V/(1 - target)`. Film and excess fall steadily as it rises. */
function raise(
  { numbers, terms }: RemedyPoint,
  key: 'nipLoadNPerM' | 'tensionNPerM',
  target: RemedyTarget,
): Raised {
  const criticalSpeedWanted = numbers.speedMPerS / (1 - target.marginRatio);
  const termsWith = (value: number) =>
    key === 'tensionNPerM'
      ? airTermsUnder(numbers, terms, value)
      : airTerms({ ...numbers, nipLoadNPerM: value });
  const excess = (value: number) => boundaryExcess(termsWith(value), criticalSpeedWanted);
  const from = numbers[key];
  if (numbers.speedMPerS === 0) return { found: 'met', from, to: from };
  const atFrom = excess(from);
  if (atFrom <= 0) return { found: 'met', from, to: from };
  const start = Math.max(from, target.min);
  const atStart = start === from ? atFrom : excess(start);
  if (start > 0 && atStart <= 0) return { found: 'reached', from, to: start };
  if (target.max <= start) return { found: 'out-of-reach', from, to: target.max };
  const atMost = excess(target.max);
  if (atMost > 0) return { found: 'out-of-reach', from, to: target.max };
  const low = start > 0 ? start : 1e-6 * target.max;
  const atLow = start > 0 ? atStart : excess(low);
  if (atLow <= 0) return { found: 'reached', from, to: low };
  const root = bracketedRoot(
    (logarithm) => excess(Math.exp(logarithm)),
    Math.log(low),
    Math.log(target.max),
    1e-10,
  );
  return { found: 'reached', from, to: Math.exp(root) };
}

function checkTarget(target: RemedyTarget): void {
  if (!(target.marginRatio < 1)) {
    throw new RangeError(`marginRatio: a number below 1 is needed, got ${target.marginRatio}`);
  }
  if (!(target.min >= 0 && target.max > target.min)) {
    throw new RangeError(`min, max: 0 <= min < max is needed, got ${target.min} and ${target.max}`);
  }
}

function leaves(target: RemedyTarget, numbers: PointNumbers): string {
  return `leaves a margin of ${inWords('ratio', target.marginRatio, numbers.display)}`;
}

function notNeeded(target: RemedyTarget, numbers: PointNumbers): AirRemedy {
  const because = reason(
    'margin-met',
    `the margin is ${inWords('ratio', target.marginRatio, numbers.display)} or more as it is`,
    {
      marginRatio: target.marginRatio,
    },
  );
  return { kind: 'not-needed', because };
}

function cannotHelp(code: string, text: string, params: Reason['params'] = {}): AirRemedy {
  return { kind: 'cannot-help', because: reason(code, text, params) };
}
