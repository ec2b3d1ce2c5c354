import { known, type Quantity, type Reason, reason, unknown } from '@edge-margin/units';
import type { AirPoint, NipShares } from './air-point.js';
import { type AirTerms, airTerms } from './air-terms.js';
import { arrivingNip } from './arriving-nip.js';
import { criticalSpeedOf, highestSpeedSearched } from './critical-speed.js';
import { inRange } from './in-range.js';
import { contactLostInTime, type WoundWithoutNip } from './nip-load/index.js';
import { inPercent } from './nip-load/wound-without-nip.js';
import type { PointNumbers } from './point-numbers.js';
import { woundInFilm } from './wound-in-film.js';

/** The share of the web that a touching nip does not hold, and what air does to it. */
export interface IneffectiveNip {
  /** Share of the length on which the nip is missing somewhere in the width, above 0 and up to 1. */
  readonly lengthShareRatio: number;
  /** Share of the width where the nip is missing at some time, above 0 and up to 1. */
  readonly widthShareRatio: number;
  /** Why, each cause with its share. */
  readonly because: readonly Reason[];
  /** Film of that share, m: what tension alone leaves. */
  readonly filmM: number;
  /** Critical speed of that share. */
  readonly criticalSpeedMPerS: Quantity;
  /** `1 - V/Vcrit` of that share. */
  readonly marginRatio: Quantity;
}

/** One cause and the share of the web it concerns. */
interface Cause {
  readonly lengthShareRatio: number;
  readonly widthShareRatio: number;
  readonly because: Reason;
}

/**
 * What is wound while or where a touching nip does not work; undefined where it works everywhere and always.
 *
 * Nothing is averaged: a wrap loses its friction already if a few per cent of its circumference float, so any share above 0 is an event with
 * the film, critical speed and margin that tension alone gives (own derivation). The rest of the web has those of the assessment.
 * @param uncertaintyRatio relative standard uncertainty of a critical speed.
 * @throws RangeError if a share is not 0 to 1.
 */
export function ineffectiveNip(
  point: AirPoint,
  numbers: PointNumbers,
  uncertaintyRatio: number,
): IneffectiveNip | undefined {
  const { nipShares } = point;
  if (nipShares === undefined || arrivingNip(point) === null || numbers.nipLoadNPerM === 0) return undefined;
  const causes = [
    ...contactLost(nipShares),
    ...uncovered(nipShares),
    ...touchesBefore(nipShares),
    ...(nipShares.woundWithoutNip ?? []).flatMap(causeOf),
  ];
  if (causes.length === 0) return undefined;
  const open = airTerms({ ...numbers, nipLoadNPerM: 0 });
  return {
    lengthShareRatio: Math.max(...causes.map(({ lengthShareRatio }) => lengthShareRatio)),
    widthShareRatio: Math.max(...causes.map(({ widthShareRatio }) => widthShareRatio)),
    because: causes.map(({ because }) => because),
    filmM: woundInFilm(open, numbers.speedMPerS),
    ...marginOf(open, numbers, uncertaintyRatio),
  };
}

function marginOf(open: AirTerms, numbers: PointNumbers, uncertaintyRatio: number) {
  const critical = criticalSpeedOf(open, highestSpeedSearched(numbers));
  if (critical === undefined) {
    const text = 'without the nip there is no critical speed either';
    const none = unknown(reason('no-critical-speed', text));
    return { criticalSpeedMPerS: none, marginRatio: none };
  }
  const speedShare = numbers.speedMPerS / critical;
  return {
    criticalSpeedMPerS: known(critical, critical * uncertaintyRatio),
    marginRatio: known(1 - speedShare, speedShare * uncertaintyRatio),
  };
}

/** A roller that lifts at one end only rocks about the other: about half of the width is without nip (own estimate). */
function contactLost({ contactLostRatio = 0 }: NipShares): readonly Cause[] {
  if (typeof contactLostRatio === 'number') return causeOf(contactLostInTime(contactLostRatio, 'both'));
  const { tendingSideRatio, driveSideRatio } = contactLostRatio;
  const ends = [
    ...causeOf(contactLostInTime(tendingSideRatio, 'tending')),
    ...causeOf(contactLostInTime(driveSideRatio, 'drive')),
  ];
  return ends.length === 1 ? ends.map((end) => ({ ...end, widthShareRatio: 0.5 })) : ends;
}

/** A share of the length concerns the whole width, and the other way round. */
function causeOf({ of, ratio, because }: WoundWithoutNip): readonly Cause[] {
  if (because === undefined || ratio === 0) return [];
  return of === 'length'
    ? [{ lengthShareRatio: ratio, widthShareRatio: 1, because }]
    : [{ lengthShareRatio: 1, widthShareRatio: ratio, because }];
}

function uncovered({ uncoveredWidthRatio = 0 }: NipShares): readonly Cause[] {
  const ratio = inRange({
    name: 'uncoveredWidthRatio',
    value: uncoveredWidthRatio,
    unit: '1',
    low: 0,
    high: 1,
  });
  if (ratio === 0) return [];
  const text = `the nip does not reach ${inPercent(ratio)} of the width`;
  return causeOf({ of: 'width', ratio, because: reason('nip-not-reaching', text, { ratio }) });
}

function touchesBefore({ webTouchesBeforeNip = false }: NipShares): readonly Cause[] {
  if (!webTouchesBeforeNip) return [];
  const text =
    'the web touches the roll before the nip: air is carried in that the nip has to press out again, and at worst it stays in';
  return causeOf({ of: 'length', ratio: 1, because: reason('web-touches-before-nip', text) });
}
