import { type Reason, reason } from '@edge-margin/units';
import type { AirPoint } from './air-point.js';
import { airTerms } from './air-terms.js';
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

/**
 * The speed at which an operating point has a target margin: `(1 - target) Vcrit`. For another diameter, put it into the point.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function speedForMargin(point: AirPoint, target: RemedyTarget): AirRemedy {
  const numbers = checked(point, target);
  const critical = criticalSpeedOf(airTerms(numbers), highestSpeedSearched(numbers));
  const from = numbers.speedMPerS;
  if (critical === undefined || 1 - from / critical >= target.marginRatio) return notNeeded(target);
  const to = (1 - target.marginRatio) * critical;
  if (to < target.min) {
    const text = `a speed of ${inWords('speed', to)} would be needed, and the lowest is ${inWords('speed', target.min)}`;
    return cannotHelp('speed-too-low', text, { neededMPerS: to, minMPerS: target.min });
  }
  const text = `a speed of ${inWords('speed', to)} instead of ${inWords('speed', from)} ${leaves(target)}`;
  return { kind: 'change', setPoint: 'speed', from, to, because: reason('slow-down', text, { from, to }) };
}

/**
 * The nip load at which an operating point has a target margin at its present speed.
 * More load helps little (about the fifth root), so a high target is often out of reach: that is said, with the reason.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function nipLoadForMargin(point: AirPoint, target: RemedyTarget): AirRemedy {
  const numbers = checked(point, target);
  if (arrivingNip(point) === null) return cannotHelp('no-nip', 'no roller touches the winding roll');
  const { found, from, to } = raise(numbers, 'nipLoadNPerM', target);
  if (found === 'met') return notNeeded(target);
  if (found === 'reached') {
    const text = `a nip load of ${inWords('nipLoad', to)} instead of ${inWords('nipLoad', from)} ${leaves(target)}, if the machine's rated limits and the site's rules allow it`;
    return { kind: 'change', setPoint: 'nipLoad', from, to, because: reason('more-nip', text, { from, to }) };
  }
  const text = `even the highest nip load of ${inWords('nipLoad', target.max)} does not thin the film enough`;
  return cannotHelp('nip-load-not-enough', text, { maxNPerM: target.max });
}

/**
 * The web tension at which an operating point has a target margin at its present speed.
 * Without a nip tension thins the film. Under an effective nip it does not: it then only helps the air out of a porous or narrow roll, which is rarely
 * enough, and that is said.
 * @throws RangeError naming parameter, value, unit and range.
 */
export function tensionForMargin(point: AirPoint, target: RemedyTarget): AirRemedy {
  const numbers = checked(point, target);
  const { found, from, to } = raise(numbers, 'tensionNPerM', target);
  if (found === 'met') return notNeeded(target);
  if (found === 'reached') {
    const text = `a tension of ${inWords('tension', to)} instead of ${inWords('tension', from)} ${leaves(target)}, if the machine's rated limits and the site's rules allow it`;
    return {
      kind: 'change',
      setPoint: 'tension',
      from,
      to,
      because: reason('more-tension', text, { from, to }),
    };
  }
  if (nipGoverns(airTerms(numbers), numbers.speedMPerS)) {
    const text =
      'tension does not thin the film under an effective nip; it only presses the air out of the finished stack';
    return cannotHelp('tension-under-nip', text, { maxNPerM: target.max });
  }
  const text = `even the highest tension of ${inWords('tension', target.max)} does not thin the film enough`;
  return cannotHelp('tension-not-enough', text, { maxNPerM: target.max });
}

interface Raised {
  readonly found: 'met' | 'reached' | 'out-of-reach';
  readonly from: number;
  readonly to: number;
}

/** Raises one input until the critical speed is `V/(1 - target)`. Film and excess fall steadily as it rises. */
function raise(numbers: PointNumbers, key: 'nipLoadNPerM' | 'tensionNPerM', target: RemedyTarget): Raised {
  const criticalSpeedWanted = numbers.speedMPerS / (1 - target.marginRatio);
  // The nip's terms are the dearest to compute, and tension has no part in them.
  const nip = key === 'tensionNPerM' ? airTerms(numbers).nip : undefined;
  const excess = (value: number) =>
    boundaryExcess(airTerms({ ...numbers, [key]: value }, nip), criticalSpeedWanted);
  const from = numbers[key];
  if (numbers.speedMPerS === 0 || excess(from) <= 0) return { found: 'met', from, to: from };
  const start = Math.max(from, target.min);
  if (start > 0 && excess(start) <= 0) return { found: 'reached', from, to: start };
  if (target.max <= start || excess(target.max) > 0) return { found: 'out-of-reach', from, to: target.max };
  const low = start > 0 ? start : 1e-6 * target.max;
  if (excess(low) <= 0) return { found: 'reached', from, to: low };
  const root = bracketedRoot(
    (logarithm) => excess(Math.exp(logarithm)),
    Math.log(low),
    Math.log(target.max),
    1e-10,
  );
  return { found: 'reached', from, to: Math.exp(root) };
}

function checked(point: AirPoint, target: RemedyTarget): PointNumbers {
  if (!(target.marginRatio < 1)) {
    throw new RangeError(`marginRatio: a number below 1 is needed, got ${target.marginRatio}`);
  }
  if (!(target.min >= 0 && target.max > target.min)) {
    throw new RangeError(`min, max: 0 <= min < max is needed, got ${target.min} and ${target.max}`);
  }
  return pointNumbers(point);
}

function leaves(target: RemedyTarget): string {
  return `leaves a margin of ${inWords('ratio', target.marginRatio)}`;
}

function notNeeded(target: RemedyTarget): AirRemedy {
  const because = reason(
    'margin-met',
    `the margin is ${inWords('ratio', target.marginRatio)} or more as it is`,
    {
      marginRatio: target.marginRatio,
    },
  );
  return { kind: 'not-needed', because };
}

function cannotHelp(code: string, text: string, params: Reason['params'] = {}): AirRemedy {
  return { kind: 'cannot-help', because: reason(code, text, params) };
}
