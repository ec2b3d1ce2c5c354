import { type Known, type Quantity, type Reason, known, reason, unknown } from '@edge-margin/units';
import { chanceAbove } from './chance-above.js';
import { contactLossRatio } from './contact-loss.js';
import { swingAtNip } from './inboard-mass.js';
import { liftOff } from './lift-off.js';
import { positive } from './positive.js';
import { staticForceAtEnd } from './static-force.js';

/** Which end of the nip: tending side, drive side, or not told apart. */
export type NipEndName = 'tending' | 'drive' | 'both';

/** What was measured at one end of the nip in one cell. A stale or missing signal is unknown, with its reason. */
export interface NipEndMeasured {
  readonly end: NipEndName;
  /** Largest peak acceleration of the cell's blocks, positive towards the winding roll, m/s2. */
  readonly peakAccelerationMPerS2: Quantity;
  /** Mean nip load at this end, N/m. */
  readonly nipLoadNPerM: Quantity;
  /** Swing of the nip load at this end: as measured, or by `loadSwing`, 1. */
  readonly swingRatio: Quantity;
}

/** What is the same for all ends of a nip. */
export interface NipSetting {
  /** Width of web under the nip, m, > 0. */
  readonly contactWidthM: number;
  readonly effectiveMassPerEndKg: number | undefined;
  readonly staticForcePerEndN: number | undefined;
  /** Mass between load cell and nip, per end, kg; 0 where the cell sees the whole nip force. */
  readonly inboardMassPerEndKg?: number;
  readonly standing: boolean;
  readonly limits: {
    /** Allowed contact-loss ratio, > 0. */
    readonly contactLossRatio: number;
    /** Allowed swing of the nip load, > 0. */
    readonly swingRatio: number;
  };
}

/** Bounce at one end of the nip. */
export interface NipEndBounce {
  readonly end: NipEndName;
  readonly contactLossRatio: Quantity;
  /** At the nip, corrected for mass inboard of the cell. */
  readonly swingRatio: Quantity;
  /** The larger of the two, each as a share of its limit; 1 = at the limit. */
  readonly indicatorRatio: Quantity;
  /** Chance that the indicator is above 1. */
  readonly chanceAboveLimit: Quantity;
  readonly nipOpen: boolean;
  readonly contactLost: boolean;
  /** What speaks for or against lift-off, and what is missing to tell. */
  readonly evidence: Reason;
  /** What drives the indicator, or why there is none. */
  readonly because: Reason;
  /** Why one or both of the indicators are not known. */
  readonly notSeen: readonly Reason[];
}

/**
 * Bounce at one end of the nip: the larger of way to contact loss and load swing, each as a share of its limit.
 * Where only one of them is known the indicator is that one, and `notSeen` says what is not watched. An open nip has none.
 * The chance is the larger of the two: one bounce drives both, so they are taken to go together.
 * Source: own derivation; the limits are the site's (no published ones were found).
 */
export function nipEndBounce(measured: NipEndMeasured, setting: NipSetting): NipEndBounce {
  const staticForceN = staticForceAtEnd(forceSource(measured, setting));
  const open = staticForceN.kind === 'unknown' && staticForceN.because.code === 'nip-open';
  const swingRatio = open ? staticForceN : swingOf(measured, setting);
  const { peakAccelerationMPerS2 } = measured;
  const { effectiveMassPerEndKg: effectiveMassKg, standing } = setting;
  const contactLoss = contactLossRatio({
    peakAccelerationMPerS2,
    effectiveMassKg,
    staticForceN,
    swingRatio,
    standing,
  });
  return {
    end: measured.end,
    contactLossRatio: contactLoss,
    swingRatio,
    ...indicatorOf(contactLoss, swingRatio, setting.limits),
    nipOpen: open,
    ...liftOff(contactLoss, swingRatio),
  };
}

function forceSource({ nipLoadNPerM }: NipEndMeasured, { contactWidthM, staticForcePerEndN }: NipSetting) {
  return { nipLoadNPerM, contactWidthM, ...(staticForcePerEndN === undefined ? {} : { staticForcePerEndN }) };
}

function swingOf(
  { swingRatio }: NipEndMeasured,
  { effectiveMassPerEndKg, inboardMassPerEndKg = 0 }: NipSetting,
): Quantity {
  if (inboardMassPerEndKg === 0) return swingRatio;
  if (effectiveMassPerEndKg !== undefined)
    return swingAtNip(swingRatio, effectiveMassPerEndKg, inboardMassPerEndKg);
  return unknown(
    reason(
      'no-effective-mass',
      'mass lies between load cell and nip, but the plant file gives no effective mass per end',
    ),
  );
}

interface Share {
  readonly ratio: Known;
  readonly because: Reason;
}

function indicatorOf(contactLoss: Quantity, swing: Quantity, limits: NipSetting['limits']) {
  const shares = [
    ...shareOf(
      contactLoss,
      positive('limits.contactLossRatio', limits.contactLossRatio, '1'),
      'contact-loss',
      { before: 'peak inertia force', of: 'the static force' },
    ),
    ...shareOf(swing, positive('limits.swingRatio', limits.swingRatio, '1'), 'load-swing', {
      before: 'nip load swings by',
      of: 'its mean',
    }),
  ];
  const notSeen = [contactLoss, swing].flatMap((quantity) =>
    quantity.kind === 'unknown' ? [quantity.because] : [],
  );
  const largest = largestOf(shares);
  if (largest === undefined) {
    const because = notSeen[0] ?? reason('nothing-measured', 'nothing is measured at this end');
    return { indicatorRatio: unknown(because), chanceAboveLimit: unknown(because), because, notSeen };
  }
  return {
    indicatorRatio: largest.ratio,
    chanceAboveLimit: known(largestChance(shares)),
    because: largest.because,
    notSeen,
  };
}

function shareOf(
  quantity: Quantity,
  limit: number,
  code: string,
  words: { readonly before: string; readonly of: string },
): readonly Share[] {
  if (quantity.kind === 'unknown') return [];
  const { value, uncertainty } = quantity;
  const text = `${words.before} ${percent(value)} of ${words.of}, limit ${percent(limit)}`;
  return [
    { ratio: known(value / limit, uncertainty / limit), because: reason(code, text, { value, limit }) },
  ];
}

function percent(ratio: number): string {
  return `${(100 * ratio).toFixed(0)} %`;
}

function largestOf(shares: readonly Share[]): Share | undefined {
  return shares.reduce<Share | undefined>(
    (top, share) => (top === undefined || share.ratio.value > top.ratio.value ? share : top),
    undefined,
  );
}

function largestChance(shares: readonly Share[]): number {
  return Math.max(...shares.map(({ ratio }) => (chanceAbove(ratio, 1) as Known).value));
}
