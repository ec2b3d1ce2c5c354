import { describe, expect, it } from 'vitest';
import { contextFixture } from '../fixtures/context-fixture.js';
import { clearAssessment, fixtureNowMs, notWatchedAssessment } from '../fixtures/station-fixtures.js';
import { trendLanes } from './trend-lanes.js';
import { bandWords, presentWords, trendSentence } from './trend-sentence.js';

const context = contextFixture(clearAssessment());
const lane = (key: string) => trendLanes.find((candidate) => candidate.key === key)!;
const now = fixtureNowMs;

describe('a trend in words', () => {
  it('tells the present, the lowest and the highest', () => {
    const line = [
      [now - 60_000, 560 / 60],
      [now - 30_000, null],
      [now, 620 / 60],
    ] as const;
    expect(trendSentence(lane('speed'), [line], [null], 'last 15 min', context)).toBe(
      'speed: 620 m/min; lowest 560 m/min, highest 620 m/min in the last 15 min; broken once, where nothing came',
    );
  });

  it('tells the lowest and the highest of a band, which its means do not reach', () => {
    const line = [[now, 600 / 60]] as const;
    const band = { windowMs: 64_000, windows: [[now - 60_000, 1, 12]] } as const;
    expect(trendSentence(lane('speed'), [line], [band], 'last 8 h', context)).toBe(
      'speed: 600 m/min; lowest 60 m/min, highest 720 m/min in the last 8 h',
    );
    expect(bandWords([band])).toMatch(/^The line is the mean of every 64 s, the band/);
    expect(bandWords([])).toBe('');
  });

  it('tells each end of the nip', () => {
    expect(presentWords(lane('nipLoad'), [[[now, 3010]], [[now, 2980]], []], context)).toBe(
      'tending 3.01 kN/m, drive 2.98 kN/m',
    );
  });

  it('never calls an old value the present one', () => {
    expect(presentWords(lane('speed'), [[[now - 60_000, 10]]], context)).toBe('no data since 14:27');
    expect(presentWords(lane('speed'), [[[now, null]]], context)).toBe('no data since 14:28');
    expect(trendSentence(lane('speed'), [[]], [null], 'last 8 h', context)).toBe(
      'speed: no points in the last 8 h',
    );
  });

  it('tells a chance as a chance', () => {
    expect(presentWords(lane('risk'), [[[now, 0]]], context)).toBe('< 1 %');
  });
});

describe('the present value of a trend', () => {
  const latest = (key: string, assessment: ReturnType<typeof clearAssessment>) =>
    lane(key).lines.map((line) => line.latest(assessment));

  it('is taken from the assessment and its readings', () => {
    expect(latest('speed', clearAssessment())).toEqual([620 / 60]);
    expect(latest('nipLoad', clearAssessment())).toEqual([3010, 2980, null]);
    expect(latest('margin', clearAssessment())).toEqual([0.33]);
  });

  it('is none where the quantity is not known or the reading is missing', () => {
    expect(latest('diameter', notWatchedAssessment())).toEqual([null]);
    const stale = clearAssessment();
    expect(
      latest('speed', {
        ...stale,
        inputs: stale.inputs.map((input) => ({ ...input, quality: 'stale' as const })),
      }),
    ).toEqual([null]);
  });
});
