import { describe, expect, it } from 'vitest';
import { contextFixture } from '../fixtures/context-fixture.js';
import { freeFromAssessment, notWatchedAssessment } from '../fixtures/station-fixtures.js';
import { gaugeData } from './gauge-data.js';
import { gaugeMeter } from './gauge-sentence.js';
import { radiusRows, readingRows } from './numbers-table.js';

const context = contextFixture(freeFromAssessment());
const data = gaugeData(context)!;

describe('the gauge as a table', () => {
  it('tells what is wound, what is to come and the boundary', () => {
    const rows = radiusRows(data, context);
    expect(rows.filter(({ what }) => what === 'wound')).toHaveLength(8);
    expect(rows.at(15)).toMatchObject({ what: 'to come', chance: '> 95 %' });
    expect(rows.at(-1)).toEqual({ diameter: '930 mm', what: 'limit reached, latest', chance: '' });
  });

  it('tells nothing to come without data', () => {
    const blind = contextFixture(notWatchedAssessment());
    expect(radiusRows(gaugeData(blind)!, blind).map(({ what }) => what)).toEqual(Array(8).fill('wound'));
  });
});

describe('the gauge as a meter', () => {
  it('says the whole finding in one sentence', () => {
    expect(gaugeMeter(context, data)).toEqual({
      name: 'Chance of a rough edge',
      value: 2,
      sentence:
        '2 percent now at 586 mm, more than 95 percent at set end, limit reached at 830 at the earliest, expected 872 mm, latest 930 mm',
    });
  });

  it('keeps its value within 0 to 100 whatever came', () => {
    const base = freeFromAssessment();
    const wild = contextFixture({
      ...base,
      risk: { ...base.risk, now: { kind: 'known', value: 1.2, uncertainty: 0 } },
    });
    expect(gaugeMeter(wild, gaugeData(wild)!)).toMatchObject({ value: 100 });
    expect(gaugeMeter(wild, gaugeData(wild)!).sentence).toContain('more than 95 percent');
  });

  it('has no value on stale data, but says what was known last', () => {
    const stale = contextFixture(freeFromAssessment(), {
      liveness: { kind: 'no-data', sinceMs: context.nowMs },
    });
    expect(gaugeMeter(stale, gaugeData(stale)!)).toMatchObject({
      value: null,
      sentence: 'no data since 14:28, last known diameter 586 mm',
    });
  });
});

describe('the readings in a table', () => {
  it('name signal, end, value and quality', () => {
    const rows = readingRows(freeFromAssessment().inputs, context);
    expect(rows[0]).toEqual({ signal: 'speed', value: '620 m/min', at: '14:28', quality: 'good' });
    expect(rows[2]?.signal).toBe('nip load, tending side');
  });

  it('show no value for a signal that is missing', () => {
    expect(readingRows(notWatchedAssessment().inputs, context)[1]).toMatchObject({
      signal: 'diameter',
      value: 'none',
      quality: 'missing',
    });
  });
});
