import { known, type Quantity, type Reason, reason, unknown } from '@edge-margin/units';
import type { AirPoint, NipShares } from './air-point.js';
import { type AirTerms, airTerms } from './air-terms.js';
import { arrivingNip } from './arriving-nip.js';
import { criticalSpeedOf, highestSpeedSearched } from './critical-speed.js';
import { inRange } from './in-range.js';
import { inWords } from './in-words.js';
import { contactLostInTime, webTouchesFirst, type WoundWithoutNip } from './nip-load/index.js';
import { inPercent } from './nip-load/wound-without-nip.js';
import { unpressedByProfile } from './nip-weakness.js';
import type { PointNumbers } from './point-numbers.js';
import { withoutNipRatio, woundInFilm } from './wound-in-film.js';

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
 * These are the figures of the worst place: a wrap loses its friction there already if a few per cent of its circumference float, so any share above 0 is an event with
 * the film, critical speed and margin that tension alone gives (own derivation). Contact that is lost part of the time counts only here; what is not pressed of the width, and a web that touches before the
 * nip, is in the film and the margin of the assessment too (`woundInFilm`), as far as there is air for the whole width.
 * @param uncertaintyRatio relative standard uncertainty of a critical speed.
 * @throws RangeError if a share is not 0 to 1.
 */
export function ineffectiveNip(
  point: AirPoint,
  numbers: PointNumbers,
  terms: AirTerms,
  uncertaintyRatio: number,
): IneffectiveNip | undefined {
  const { nipShares = {} } = point;
  if (point.nipShares === undefined && numbers.profile === null) return undefined;
  if (arrivingNip(point) === null || numbers.nipLoadNPerM === 0) return undefined;
  const causes = [
    ...contactLost(nipShares),
    ...uncovered(nipShares),
    ...touchesBefore(nipShares),
    ...(nipShares.woundWithoutNip ?? []).flatMap(causeOf),
    ...unpressedByProfile(numbers).flatMap(causeOf),
    ...arrivesBefore(numbers, terms),
  ];
  if (causes.length === 0) return undefined;
  const open = airTerms({ ...numbers, nipLoadNPerM: 0, profile: null });
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
    const upToMPerS = highestSpeedSearched(numbers);
    const text = `without the nip there is no critical speed up to ${inWords('speed', upToMPerS, numbers.display)} either`;
    const none = unknown(reason('no-critical-speed', text, { upToMPerS }));
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

/** The web that lies on the roll ahead of the nip, with the share of the air that it has taken when it gets there. */
function arrivesBefore(numbers: PointNumbers, terms: AirTerms): readonly Cause[] {
  if (terms.wrapBeforeNipRad === 0) return [];
  const { because } = webTouchesFirst(terms.wrapBeforeNipRad);
  const ratio = withoutNipRatio({ ...terms, unpressedWidthRatio: 0 }, numbers.speedMPerS);
  if (because === undefined || ratio === 0) return [];
  const text = `${because.text}: ${inPercent(ratio)} of what tension alone lets in`;
  return [
    {
      lengthShareRatio: ratio,
      widthShareRatio: 1,
      because: reason(because.code, text, { ...because.params, ratio }),
    },
  ];
}

function touchesBefore({ webTouchesBeforeNip = false }: NipShares): readonly Cause[] {
  if (!webTouchesBeforeNip) return [];
  const text =
    'the web touches the roll before the nip: air is carried in that the nip has to press out again, and at worst it stays in';
  return causeOf({ of: 'length', ratio: 1, because: reason('web-touches-before-nip', text) });
}
