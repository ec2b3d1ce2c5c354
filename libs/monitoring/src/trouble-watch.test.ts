import { reason } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import type { OwnTrouble, TroubleSign } from './own-trouble.js';
import { nothingReported, watchTrouble } from './trouble-watch.js';

type Look = readonly [atS: number, stage: TroubleSign['stage'], code?: string];

/** What is reported of a trouble that is looked at so: `second stage`. */
function reported(trouble: OwnTrouble, looks: readonly Look[]): string[] {
  let watch = nothingReported;
  return looks.flatMap(([atS, stage, code = 'seen']) => {
    const step = watchTrouble(watch, { trouble, stage, because: reason(code, code) }, atS * 1000);
    watch = step.watch;
    return step.report ? [`${atS} ${stage ?? 'over'}`] : [];
  });
}

// The replica's delays when it is behind are 60 s on and 60 s off (own-trouble.ts).
describe('watching a trouble', () => {
  it('reports it when it has lasted for its delay, once', () => {
    expect(
      reported('replica-behind', [
        [0, null],
        [5, 'foreseen'],
        [64.9, 'foreseen'],
        [65, 'foreseen'],
        [70, 'foreseen'],
      ]),
    ).toEqual(['65 foreseen']);
  });

  it('begins anew where it was gone in between', () => {
    expect(
      reported('replica-behind', [
        [0, 'foreseen'],
        [59, null],
        [60, 'foreseen'],
        [119, 'foreseen'],
        [120, 'foreseen'],
      ]),
    ).toEqual(['120 foreseen']);
  });

  it('lets a trouble that grows worse keep the time it has lasted', () => {
    expect(
      reported('replica-behind', [
        [0, 'foreseen'],
        [50, 'reached'],
        [60, 'reached'],
      ]),
    ).toEqual(['60 reached']);
  });

  it('reports what is worse after the on-delay, and what is better after the off-delay', () => {
    expect(
      reported('replica-behind', [
        [0, 'foreseen'],
        [60, 'foreseen'],
        [61, 'reached'],
        [121, 'reached'],
        [122, 'foreseen'],
        [181, 'foreseen'],
        [182, 'foreseen'],
        [190, null],
        [250, null],
      ]),
    ).toEqual(['60 foreseen', '121 reached', '182 foreseen', '250 over']);
  });

  it('is not cleared by a short pause', () => {
    expect(
      reported('replica-behind', [
        [0, 'reached'],
        [60, 'reached'],
        [70, null],
        [125, 'reached'],
        [126, null],
        [185, null],
      ]),
    ).toEqual(['60 reached']);
  });

  it('reports the same stage again only for another reason', () => {
    expect(
      reported('messages-lost', [
        [0, 'reached', 'session-lost'],
        [1, 'reached', 'session-lost'],
        [2, 'reached', 'messages-lost'],
        [3, 'reached', 'messages-lost'],
      ]),
    ).toEqual(['0 reached', '2 reached']);
  });
});
