import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { riskCurve, sampleRisk } from '../fixtures/station-fixtures.js';
import { type GaugeBox, type GaugeData, leftFor, scaleX } from './gauge-scale.js';
import { chanceAtEnd, gaugeShapes } from './radius-gauge.js';

const box: GaugeBox = { width: 1000, left: 0, right: 0, top: 50, plot: 100, body: 40, column: 3 };
const risk = riskCurve(0.872, 0.046);
const gauge = (over: Partial<GaugeData> = {}): GaugeData => ({
  coreM: 0.1,
  nowM: 0.5,
  live: true,
  setEndM: 1,
  wound: sampleRisk(risk, 0.1, 0.5),
  ahead: sampleRisk(risk, 0.5, 1),
  after: sampleRisk(() => 0.05, 0.5, 1),
  boundary: { earliestM: 0.83, expectedM: 0.872, latestM: 0.93 },
  byM: 0.8,
  fullM: 1,
  ...over,
});
/** x of every point of a path made of M, L and H. */
const xs = (path: string): number[] =>
  [...path.matchAll(/[ML](-?[\d.]+) /g)].map((match) => Number(match[1]));

describe('the gauge along the radius', () => {
  it('is linear in diameter from the roll’s centre line, so that core and body have true proportion', () => {
    const shapes = gaugeShapes(gauge(), box);
    expect(shapes.woundBody).toEqual({ x: 100, y: 150, width: 400, height: 40 });
    expect(shapes.aheadBody).toEqual({ x: 500, y: 150, width: 500, height: 40 });
    expect(shapes.coreWall).toEqual({ x: 86, y: 50, width: 14, height: 140 });
    expect([shapes.nowX, shapes.endX, shapes.byX]).toEqual([500, 1000, 800]);
  });

  it('is solid where wound and a line where not yet wound: they meet at now', () => {
    const shapes = gaugeShapes(gauge(), box);
    const solid = shapes.tints.flatMap(({ path }) => xs(path));
    expect(Math.max(...solid)).toBeLessThan(500);
    expect(Math.min(...xs(shapes.aheadLine))).toBe(500);
    expect(Math.max(...xs(shapes.aheadLine))).toBe(1000);
  });

  it('draws the chance as height: zero at the zero line, one at the frame', () => {
    const shapes = gaugeShapes(
      gauge({
        ahead: [
          { diameterM: 0.5, risk: 0 },
          { diameterM: 1, risk: 1 },
        ],
        wound: [],
      }),
      box,
    );
    expect(shapes.aheadLine).toBe('M500 150L1000 50V150');
  });

  it('marks earliest, expected and latest and tints the band between them', () => {
    const shapes = gaugeShapes(gauge(), box);
    expect(shapes.marks).toEqual([
      { kind: 'earliest', x: 830 },
      { kind: 'expected', x: 872 },
      { kind: 'latest', x: 930 },
    ]);
    expect(shapes.band).toMatchObject({ x: 830, width: 100 });
  });

  it('leaves out what lies beyond the end and ends the band there', () => {
    const shapes = gaugeShapes(gauge({ boundary: { earliestM: 0.9, expectedM: 0.98, latestM: 1.2 } }), box);
    expect(shapes.marks.map(({ kind }) => kind)).toEqual(['earliest', 'expected']);
    expect(shapes.band).toMatchObject({ x: 900, width: 100 });
  });

  it('starts the dotted outlook where the change has to be made', () => {
    expect(Math.min(...xs(gaugeShapes(gauge(), box).afterLine))).toBeGreaterThanOrEqual(800);
  });

  it('shows no present, no outlook and no boundary on stale data, but hatching from the last known diameter on', () => {
    const shapes = gaugeShapes(gauge({ live: false }), box);
    expect(shapes).toMatchObject({
      nowX: null,
      byX: null,
      aheadLine: '',
      afterLine: '',
      band: null,
      marks: [],
      aheadBody: null,
    });
    expect(shapes.hatched).toMatchObject({ x: 500, width: 500 });
  });

  it('marks the part of the roll that nobody saw instead of drawing across it', () => {
    const missed = gauge({ wound: [...sampleRisk(risk, 0.2, 0.3), ...sampleRisk(risk, 0.4, 0.5)] });
    const shapes = gaugeShapes(missed, box);
    expect(shapes.unknown.map(({ x, width }) => [x, width])).toEqual([
      [100, 100],
      [300, 100],
    ]);
  });

  it('has nothing unknown on a roll that was watched from the core', () => {
    expect(gaugeShapes(gauge(), box).unknown).toEqual([]);
  });

  it('keeps the roll in the frame where it has grown beyond its planned end', () => {
    const shapes = gaugeShapes(gauge({ nowM: 1.1, fullM: 1.1, setEndM: 1 }), box);
    expect(shapes.nowX).toBe(1000);
    expect(shapes.endX).toBeCloseTo(909.1);
    expect(shapes.frame.x + shapes.frame.width).toBeCloseTo(1000);
  });

  it('stays inside its box whatever the numbers', () => {
    const anyRisk = fc.record({ diameterM: fc.double({ min: -1, max: 3 }), risk: fc.double() });
    fc.assert(
      fc.property(
        fc.array(anyRisk, { maxLength: 60 }),
        fc.double({ min: 0.1, max: 1, noNaN: true }),
        (points, nowM) => {
          const shapes = gaugeShapes(gauge({ wound: points, ahead: points, nowM }), box);
          const text = JSON.stringify(shapes);
          expect(text).not.toMatch(/NaN|null,"y"|Infinity/);
          for (const x of [...shapes.tints.flatMap(({ path }) => xs(path)), ...xs(shapes.aheadLine)]) {
            expect(x).toBeGreaterThanOrEqual(0);
            expect(x).toBeLessThanOrEqual(1000);
          }
        },
      ),
    );
  });

  it('tells the chance at the end only where the outlook reaches it', () => {
    expect(chanceAtEnd(gauge().ahead, gauge())).toBeGreaterThan(0.95);
    expect(chanceAtEnd(sampleRisk(risk, 0.5, 0.7), gauge())).toBeNull();
    expect(chanceAtEnd(gauge().ahead, gauge({ live: false }))).toBeNull();
  });

  it('draws a core’s wall no wider than a fiftieth of the scale', () => {
    expect(gaugeShapes(gauge({ coreM: 0.5, nowM: 0.6, wound: [] }), box).coreWall).toMatchObject({
      x: 480,
      width: 20,
    });
  });

  it('puts a wide bore’s edge where it is asked for, by cutting off its inner part', () => {
    const left = leftFor(236, 0.6, 1, 1000, 0);
    expect(left).toBeLessThan(0);
    expect(scaleX({ fullM: 1 }, { ...box, left })(0.6)).toBeCloseTo(236, 1);
    expect(scaleX({ fullM: 1 }, { ...box, left })(1)).toBe(1000);
  });

  it('shifts the whole scale where the number needs room left of it', () => {
    expect(scaleX({ fullM: 1 }, { ...box, left: 200 })(0.5)).toBe(600);
  });
});
