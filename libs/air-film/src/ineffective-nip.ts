import { known, type Quantity, type Reason, reason, unknown } from '@edge-margin/units';
import type { AirPoint, NipEnds, NipShares } from './air-point.js';
import { type AirTerms, airTerms } from './air-terms.js';
import { arrivingNip } from './arriving-nip.js';
import { criticalSpeedOf, highestSpeedSearched } from './critical-speed.js';
import { inWords } from './in-words.js';
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
  const causes = [contactLost(nipShares), uncovered(nipShares), touchesBefore(nipShares)].filter(
    (cause) => cause !== undefined,
  );
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

function contactLost({ contactLostRatio = 0 }: NipShares): Cause | undefined {
  if (typeof contactLostRatio === 'object') return contactLostAtEnds(contactLostRatio);
  const share = checkedShare('contactLostRatio', contactLostRatio);
  if (share === 0) return undefined;
  const text = `the nip loses contact on ${inPercent(share)} of the length`;
  return {
    lengthShareRatio: share,
    widthShareRatio: 1,
    because: reason('contact-lost', text, { lengthShareRatio: share }),
  };
}

/** A roller that lifts at one end only rocks about the other: about half of the width is without nip (own estimate). */
function contactLostAtEnds({ tendingSideRatio, driveSideRatio }: NipEnds): Cause | undefined {
  const tending = checkedShare('contactLostRatio.tendingSideRatio', tendingSideRatio);
  const drive = checkedShare('contactLostRatio.driveSideRatio', driveSideRatio);
  const ends = [
    ...(tending > 0 ? [`on ${inPercent(tending)} of the length at the tending side`] : []),
    ...(drive > 0 ? [`on ${inPercent(drive)} of the length at the drive side`] : []),
  ];
  if (ends.length === 0) return undefined;
  const text = `the nip loses contact ${ends.join(' and ')}`;
  return {
    lengthShareRatio: Math.max(tending, drive),
    widthShareRatio: ends.length === 2 ? 1 : 0.5,
    because: reason('contact-lost', text, { tendingSideRatio: tending, driveSideRatio: drive }),
  };
}

function uncovered({ uncoveredWidthRatio = 0 }: NipShares): Cause | undefined {
  const share = checkedShare('uncoveredWidthRatio', uncoveredWidthRatio);
  if (share === 0) return undefined;
  const text = `the nip does not reach ${inPercent(share)} of the width: the roll's profile or the bend of the roller is larger than the cover is pressed in`;
  return {
    lengthShareRatio: 1,
    widthShareRatio: share,
    because: reason('nip-not-reaching', text, { widthShareRatio: share }),
  };
}

function touchesBefore({ webTouchesBeforeNip = false }: NipShares): Cause | undefined {
  if (!webTouchesBeforeNip) return undefined;
  const text =
    'the web touches the roll before the nip: air is carried in that the nip has to press out again, and at worst it stays in';
  return { lengthShareRatio: 1, widthShareRatio: 1, because: reason('web-touches-before-nip', text) };
}

function checkedShare(name: string, share: number): number {
  if (share >= 0 && share <= 1) return share;
  throw new RangeError(`${name}: 0 to 1 is needed, got ${share}`);
}

/** A share in per cent, never 0 %: small shares are what this is about. */
function inPercent(shareRatio: number): string {
  return shareRatio < 0.01 ? 'less than 1 %' : inWords('ratio', shareRatio);
}
