import type { RolledResolution } from '@edge-margin/series';
import { z } from 'zod';
import { wholeNumber } from './setting-kinds.js';
import { SettingsError } from './settings-error.js';

/** How long and how much is kept on this machine. */
export interface KeepingSettings {
  /** Series as they came, by the time of the sample. */
  readonly rawSeriesMs: number;
  readonly seriesMaxBytes: number;
  readonly rollUpsMs: Readonly<Record<RolledResolution, number>>;
  readonly journalMs: number;
  readonly sentMessagesMs: number;
  /** What waits to be copied to InfluxDB. */
  readonly uncopiedMs: number;
  /** Of that at most so many rows as they came, and so many roll-ups. */
  readonly uncopiedMaxRows: number;
  readonly uncopiedMaxRollUps: number;
  readonly auditMs: number;
}

const dayMs = 86_400_000;
const days = (least: number, most: number) => wholeNumber(least, most, 'days');

/**
 * A day is the least: a clock that has jumped is believed after a day (`known-time.ts`), and until then what came in must fit on the disk
 * anyway.
 */
export const keepingVariables = z.object({
  KEEP_RAW_SERIES_DAYS: days(1, 366).default(2),
  KEEP_SERIES_MAX_GB: wholeNumber(1, 10_000, 'GB').default(20),
  KEEP_ROLL_UPS_10S_DAYS: days(1, 3660).default(7),
  KEEP_ROLL_UPS_1MIN_DAYS: days(1, 3660).default(60),
  KEEP_ROLL_UPS_1H_DAYS: days(1, 36_600).default(1095),
  KEEP_JOURNAL_DAYS: days(1, 366).default(2),
  KEEP_SENT_MESSAGES_DAYS: days(1, 366).default(7),
  KEEP_UNCOPIED_DAYS: days(1, 366).default(2),
  KEEP_AUDIT_DAYS: days(30, 3660).default(400),
});

type Variables = z.output<typeof keepingVariables>;

/** From fine to coarse: coarser series stand in for finer ones that are gone, so each is kept at least as long as the one before. */
const fineToCoarse = [
  'KEEP_RAW_SERIES_DAYS',
  'KEEP_ROLL_UPS_10S_DAYS',
  'KEEP_ROLL_UPS_1MIN_DAYS',
  'KEEP_ROLL_UPS_1H_DAYS',
] as const satisfies readonly (keyof Variables)[];

/** @throws SettingsError */
export function keepingSettings(e: Variables): KeepingSettings {
  fineToCoarse.forEach((name, at) => {
    const finer = fineToCoarse[at - 1];
    if (finer !== undefined && e[name] < e[finer])
      throw new SettingsError(
        `${name}: ${e[name]} days apply, but ${finer} says ${e[finer]} days; what is right: at least ${e[finer]} days, as coarser series stand in for finer ones`,
      );
  });
  return {
    rawSeriesMs: e.KEEP_RAW_SERIES_DAYS * dayMs,
    seriesMaxBytes: e.KEEP_SERIES_MAX_GB * 1e9,
    rollUpsMs: {
      '10s': e.KEEP_ROLL_UPS_10S_DAYS * dayMs,
      '1min': e.KEEP_ROLL_UPS_1MIN_DAYS * dayMs,
      '1h': e.KEEP_ROLL_UPS_1H_DAYS * dayMs,
    },
    journalMs: e.KEEP_JOURNAL_DAYS * dayMs,
    sentMessagesMs: e.KEEP_SENT_MESSAGES_DAYS * dayMs,
    uncopiedMs: e.KEEP_UNCOPIED_DAYS * dayMs,
    uncopiedMaxRows: 50_000_000,
    uncopiedMaxRollUps: 10_000_000,
    auditMs: e.KEEP_AUDIT_DAYS * dayMs,
  };
}
