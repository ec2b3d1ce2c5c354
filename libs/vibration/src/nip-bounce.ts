import { type Known, type Quantity, type Reason, known, reason, unknown } from '@edge-margin/units';
import { type NipEndBounce, type NipEndMeasured, type NipSetting, nipEndBounce } from './nip-end-bounce.js';

/** Bounce of a whole nip: its worse end. */
export interface NipBounce {
  /** Every end shows at least one of its indicators, or one end is beyond its limit, whatever the others do. */
  readonly watched: boolean;
  readonly nipOpen: boolean;
  /** What drives the indicator, and where; or why it is not watched. */
  readonly because: Reason;
  /** Largest indicator over the ends; 1 = at the limit. */
  readonly indicatorRatio: Quantity;
  /** 1 - indicator. */
  readonly inHandRatio: Quantity;
  /** Largest chance over the ends that the indicator is above its limit, 0..1. */
  readonly chanceAboveLimit: Quantity;
  /** At any end. */
  readonly contactLost: boolean;
  readonly ends: readonly NipEndBounce[];
}

/** Twice the limit and beyond all show as -1: what lies there is not measured any more finely. */
const leastInHand = -1;

/**
 * Bounce of a nip over its ends. Each end is judged by itself and the worse one counts; ends are never averaged, because two ends in antiphase rock and steer,
 * and cancel in the mean. An end that is not seen makes the nip not watched, unless another is beyond its limit already.
 * `inHandRatio = 1 - indicator`: 0 at the limit, negative beyond, held at -1. Indicator and chance are not held.
 * @param ends tending side and drive side, or one `both` where they are not told apart; at least one.
 * @param setting what is the same for all ends.
 */
export function nipBounce(ends: readonly NipEndMeasured[], setting: NipSetting): NipBounce {
  const judged = ends.map((end) => nipEndBounce(end, setting));
  const seen = judged.filter(isSeen);
  const worst = worstOf(seen);
  const blind = judged.find((end) => end.indicatorRatio.kind === 'unknown');
  const shared = {
    nipOpen: judged.some(({ nipOpen }) => nipOpen),
    contactLost: judged.some(({ contactLost }) => contactLost),
    ends: judged,
  };
  if (worst === undefined || (blind !== undefined && worst.indicatorRatio.value < 1))
    return { ...shared, ...notWatched(blind) };
  const { indicatorRatio } = worst;
  return {
    ...shared,
    watched: true,
    because: atEnd(worst),
    indicatorRatio,
    inHandRatio: known(Math.max(leastInHand, 1 - indicatorRatio.value), indicatorRatio.uncertainty),
    chanceAboveLimit: known(
      Math.max(
        ...seen.map(({ chanceAboveLimit }) =>
          chanceAboveLimit.kind === 'known' ? chanceAboveLimit.value : 0,
        ),
      ),
    ),
  };
}

type SeenEnd = NipEndBounce & { readonly indicatorRatio: Known };

function isSeen(end: NipEndBounce): end is SeenEnd {
  return end.indicatorRatio.kind === 'known';
}

function worstOf(seen: readonly SeenEnd[]): SeenEnd | undefined {
  return seen.reduce<SeenEnd | undefined>(
    (top, end) => (top === undefined || end.indicatorRatio.value > top.indicatorRatio.value ? end : top),
    undefined,
  );
}

function notWatched(blind: NipEndBounce | undefined) {
  if (blind === undefined) throw new RangeError('ends: at least one end of the nip is needed, got none');
  const because = atEnd(blind);
  const nothing = unknown(because);
  return {
    watched: false,
    because,
    indicatorRatio: nothing,
    inHandRatio: nothing,
    chanceAboveLimit: nothing,
  };
}

function atEnd({ end, because }: NipEndBounce): Reason {
  return end === 'both'
    ? because
    : reason(because.code, `${end} side: ${because.text}`, { ...because.params, end });
}
