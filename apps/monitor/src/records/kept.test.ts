import { describe, expect, it } from 'vitest';
import { influxVariables } from '../settings/influx-settings.js';
import { keepingVariables } from '../settings/keeping-settings.js';
import { readSettings } from '../settings/settings.js';
import { keptViews } from './kept.js';

const dayMs = 86_400_000;

describe('what is told of what is kept how long', () => {
  it('names only settings that there are, and every one that says how long something is kept', () => {
    const { keeping, influx } = readSettings({ INFLUX_URL: 'http://influxdb:8086' });
    const named = keptViews(keeping, influx).flatMap(({ setting }) => setting ?? []);
    const there = [...Object.keys(keepingVariables.shape), ...Object.keys(influxVariables.shape)].filter(
      (name) => /^KEEP_|_DAYS$/.test(name) && name !== 'KEEP_SERIES_MAX_GB',
    );
    expect([...named].sort()).toEqual(there.sort());
  });

  it('gives the times in force', () => {
    const { keeping } = readSettings({ KEEP_JOURNAL_DAYS: '5', KEEP_SERIES_MAX_GB: '3' });
    const views = keptViews(keeping, undefined);
    expect(views.find(({ name }) => name === 'journal')).toMatchObject({ keptMs: 5 * dayMs, where: 'here' });
    expect(views[0]).toMatchObject({ keptMs: 2 * dayMs, atMost: { value: 3e9, unit: 'By' } });
    expect(views.find(({ name }) => name === 'records')).toMatchObject({ keptMs: null, setting: null });
    expect(views.filter(({ where }) => where === 'influxdb')).toEqual([]);
  });

  it('tells with InfluxDB what its policies are made with', () => {
    const env = { INFLUX_URL: 'http://influxdb:8086', INFLUX_ROLL_UPS_10S_DAYS: '30' };
    const { keeping, influx } = readSettings(env);
    const there = keptViews(keeping, influx).filter(({ where }) => where === 'influxdb');
    expect(there.map(({ keptMs }) => keptMs)).toEqual([30 * dayMs, 730 * dayMs, null]);
  });
});
