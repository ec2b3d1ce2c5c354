import { describe, expect, it } from 'vitest';
import { readSettings } from './settings.js';

const dayMs = 86_400_000;

describe('settings of what is kept how long', () => {
  it('need not be given', () => {
    expect(readSettings({}).keeping).toEqual({
      rawSeriesMs: 2 * dayMs,
      seriesMaxBytes: 20e9,
      rollUpsMs: { '10s': 7 * dayMs, '1min': 60 * dayMs, '1h': 1095 * dayMs },
      journalMs: 2 * dayMs,
      sentMessagesMs: 7 * dayMs,
      uncopiedMs: 2 * dayMs,
      uncopiedMaxRows: 50_000_000,
      uncopiedMaxRollUps: 10_000_000,
      auditMs: 400 * dayMs,
    });
  });

  it('are taken one by one', () => {
    const given = { KEEP_RAW_SERIES_DAYS: '5', KEEP_SERIES_MAX_GB: '3', KEEP_AUDIT_DAYS: '731' };
    expect(readSettings(given).keeping).toMatchObject({
      rawSeriesMs: 5 * dayMs,
      seriesMaxBytes: 3e9,
      journalMs: 2 * dayMs,
      auditMs: 731 * dayMs,
    });
  });

  it.each([
    [
      { KEEP_RAW_SERIES_DAYS: '0' },
      'KEEP_RAW_SERIES_DAYS: "0" was given; what is right: a whole number of days from 1 to 366',
    ],
    [
      { KEEP_JOURNAL_DAYS: '1.5' },
      'KEEP_JOURNAL_DAYS: "1.5" was given; what is right: a whole number of days',
    ],
    [
      { KEEP_SERIES_MAX_GB: '20 GB' },
      'KEEP_SERIES_MAX_GB: "20 GB" was given; what is right: a whole number of GB',
    ],
    [
      { KEEP_AUDIT_DAYS: '7' },
      'KEEP_AUDIT_DAYS: "7" was given; what is right: a whole number of days from 30',
    ],
    [
      { KEEP_ROLL_UPS_1MIN_DAYS: '5' },
      'KEEP_ROLL_UPS_1MIN_DAYS: 5 days apply, but KEEP_ROLL_UPS_10S_DAYS says 7 days; what is right: at least 7 days',
    ],
    [
      { KEEP_RAW_SERIES_DAYS: '30' },
      'KEEP_ROLL_UPS_10S_DAYS: 7 days apply, but KEEP_RAW_SERIES_DAYS says 30 days; what is right: at least 30 days',
    ],
    [{ KEEP_RAW_SERIES_HOURS: '48' }, 'KEEP_RAW_SERIES_HOURS: "48" was given, but there is no such setting'],
  ])('refuse %j in one line', (given, start) => {
    expect(() => readSettings(given)).toThrow(start);
    expect(() => readSettings(given)).toThrow(/^.*$/);
  });
});
