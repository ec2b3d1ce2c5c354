import { describe, expect, it } from 'vitest';
import { expectedSources } from './expected-sources.js';
import { type SourceWatch, watchSources } from './source-watch.js';

const sources = [
  { filter: 'mill/+/drive', periodS: 1 },
  { filter: 'mill/+/nip/#', periodS: 30 },
];

/** Looks once a second, as the client does. */
function silentAt(watch: SourceWatch, fromS: number, toS: number): readonly string[] {
  let silent: readonly string[] = [];
  for (let s = fromS; s <= toS; s += 1) silent = watch.silent(s * 1000).map(({ filter }) => filter);
  return silent;
}

describe('expected sources', () => {
  it('are those of the plant file with a period, at the shortest of its signals', () => {
    const plant = {
      sources: [
        {
          topic: 'mill/{winder}/{any}/drive',
          signals: [{ expectedPeriodS: 5 }, { expectedPeriodS: 0.2 }, {}],
        },
        { topic: 'mill/grade', signals: [{}] },
        { topic: 'mill/{winder}/#', signals: [{ expectedPeriodS: 60 }] },
      ],
    };
    expect(expectedSources(plant)).toEqual([
      { filter: 'mill/+/+/drive', periodS: 0.2 },
      { filter: 'mill/+/#', periodS: 60 },
    ]);
  });

  it('are silent after 20 s, or five of their periods where that is longer', () => {
    const watch = watchSources(sources);
    watch.listenFrom(0);
    expect(silentAt(watch, 1, 20)).toEqual([]);
    expect(silentAt(watch, 21, 150)).toEqual(['mill/+/drive']);
    expect(silentAt(watch, 151, 151)).toEqual(['mill/+/drive', 'mill/+/nip/#']);
  });

  it('are heard again with the next message on any of their topics, and on no other', () => {
    const watch = watchSources(sources);
    watch.listenFrom(0);
    watch.take('mill/w1/drive/more', 15_000);
    expect(silentAt(watch, 1, 25)).toEqual(['mill/+/drive']);
    watch.take('mill/w1/drive', 25_500);
    expect(silentAt(watch, 26, 45)).toEqual([]);
    expect(silentAt(watch, 46, 46)).toEqual(['mill/+/drive']);
    expect(watch.silent(46_000)[0]).toMatchObject({ sinceMs: 25_500, hasCome: true });
  });

  it('are not judged while nobody listens, nor for what came before', () => {
    const watch = watchSources(sources);
    expect(silentAt(watch, 0, 100)).toEqual([]);
    watch.listenFrom(100_000);
    watch.take('mill/w1/drive', 101_000);
    watch.stopListening();
    expect(silentAt(watch, 101, 300)).toEqual([]);
    watch.listenFrom(300_000);
    expect(silentAt(watch, 301, 320)).toEqual([]);
  });

  it('are still listened for until each was heard or had its time, at most a minute', () => {
    const watch = watchSources(sources);
    expect(watch.isStillListening(0)).toBe(true);
    watch.listenFrom(0);
    watch.take('mill/w1/nip/drive', 1000);
    expect(watch.isStillListening(20_000)).toBe(true);
    expect(watch.isStillListening(20_001)).toBe(false);
    watch.listenFrom(100_000);
    watch.take('mill/w1/drive', 101_000);
    expect(watch.isStillListening(160_000)).toBe(true);
    expect(watch.isStillListening(160_001)).toBe(false);
    watch.listenFrom(200_000);
    watch.take('mill/w1/drive', 201_000);
    watch.take('mill/w1/nip/drive', 202_000);
    expect(watch.isStillListening(202_000)).toBe(false);
    watch.stopListening();
    expect(watch.isStillListening(203_000)).toBe(true);
    expect(watchSources([]).isStillListening(0)).toBe(false);
  });

  it.each([
    ['stood still', 3_600_000],
    ['had its clock set back', -3_600_000],
  ])('get their time again after the process %s', (_what, byMs) => {
    const watch = watchSources(sources);
    watch.listenFrom(10_000_000);
    watch.take('mill/w1/drive', 10_001_000);
    const from = (10_002_000 + byMs) / 1000;
    expect(silentAt(watch, from, from + 20)).toEqual([]);
    expect(silentAt(watch, from + 21, from + 22)).toContain('mill/+/drive');
  });
});
