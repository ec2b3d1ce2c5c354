import { gapM } from './gap.js';
import { settle, slip, type Stack, type StackLoad } from './stack.js';
import type { WrapPlace } from './wrap-place.js';
import type { Wrap } from './wrap.js';

/** What is wound during one sample period. */
export interface Laying {
  readonly durationS: number;
  readonly turns: { readonly from: number; readonly to: number };
  readonly radiusM: number;
  /** Air under the wraps, as thickness at ambient pressure. */
  readonly airM: number;
  readonly liftedRatio: number;
  /** Caliper of this strip over that of the grade. */
  readonly caliperRatio?: number;
  /** Where a wrap that closes at this share of the time lies. */
  readonly placeAt: (share: number) => WrapPlace;
}

/**
 * Lays the wraps that close during a sample period one after the other; between them the stack settles and slips.
 * A wrap counts from the moment its turn is whole.
 */
export function layWraps(
  start: Stack,
  laying: Laying,
  load: StackLoad,
): { readonly stack: Stack; readonly thickerM: number } {
  const caliperM = load.grade.caliperM * (laying.caliperRatio ?? 1);
  const turned = laying.turns.to - laying.turns.from;
  let stack = start;
  let thickerM = 0;
  let share = 0;
  const wait = (until: number): void => {
    const seconds = (until - share) * laying.durationS;
    const settled = settle(stack, load, seconds);
    stack = slip(settled.stack, load, seconds);
    thickerM -= settled.sunkM;
    share = until;
  };
  for (let turn = Math.floor(laying.turns.from) + 1; turn <= laying.turns.to; turn += 1) {
    wait((turn - laying.turns.from) / turned);
    const wrap = newWrap(laying, load, laying.radiusM + thickerM, share);
    stack = [...stack, wrap];
    thickerM += caliperM + wrap.gapM;
  }
  wait(1);
  return { stack, thickerM };
}

function newWrap(laying: Laying, load: StackLoad, radiusM: number, share: number): Wrap {
  const pressurePa = load.tensionNPerM / radiusM;
  const gap = gapM(load.grade.peaks, { pressurePa, airM: laying.airM, ambientPa: load.air.ambientPa });
  return {
    radiusM,
    airM: Math.max(gap, laying.airM),
    gapM: gap,
    sunkM: 0,
    ...laying.placeAt(share),
    liftedRatio: laying.liftedRatio,
    wasFree: false,
  };
}
