import type { NipPeriod } from './nip-motion.js';
import type { NipSummary } from './nip-summary.js';
import type { Acting } from './set-points.js';
import type { Stretch } from './stretch.js';
import type { WebPeriod } from './web.js';

/** What the roll gets during one sample period. */
export interface Winding {
  readonly stretch: Stretch;
  readonly acting: Acting;
  readonly nip: { readonly period: NipPeriod; readonly summary: NipSummary } | null;
  readonly radiusM: number;
  /** The line's web; null: the station runs on its own. */
  readonly web: WebPeriod | null;
  /** Of the irregular errors of the knives. */
  readonly cutSeed: number;
}
