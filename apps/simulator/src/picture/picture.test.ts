import { describe, expect, it } from 'vitest';
import { axisSteps } from './axis-steps.js';
import { drawRoll } from './draw-roll.js';
import { edgeEnvelope } from './edge-envelope.js';
import type { RollEdges } from './roll-edges.js';

const roll: RollEdges = {
  title: 'film-1 <a>, roll 1',
  coreRadiusM: 0.05,
  outerRadiusM: 0.1,
  wraps: Array.from({ length: 1000 }, (_, i) => ({
    radiusM: 0.05 + i * 5e-5,
    tendingM: i > 800 ? (i % 2 === 0 ? 1e-3 : -1e-3) : 0,
    driveM: 0,
  })),
  rough: [{ end: 'tending', innerRadiusM: 0.09, outerRadiusM: 0.1 }],
};

function pointsOf(svg: string, kind: string): readonly (readonly [number, number])[][] {
  return [...svg.matchAll(new RegExp(`class="${kind}" points="([^"]*)"`, 'g'))].map(([, points]) =>
    points!.split(' ').map((point) => point.split(',').map(Number) as [number, number]),
  );
}

describe('the picture of a finished roll', () => {
  const svg = drawRoll(roll);

  it('names roll, axes and units, and says that all is simulated', () => {
    for (const text of [
      'film-1 &lt;a&gt;, roll 1 (simulated)',
      'radius, mm',
      'from nominal edge, mm',
      'tending edge',
      'drive edge',
    ])
      expect(svg).toContain(text);
    expect(svg).not.toMatch(/NaN|Infinity|undefined|<a>/);
  });

  it('spreads sideways where wraps are offset, and only at that edge and radius', () => {
    const [tending, drive] = pointsOf(svg, 'spread');
    const width = (points: readonly (readonly [number, number])[]): number =>
      Math.max(...points.map(([x]) => x)) - Math.min(...points.map(([x]) => x));
    expect(width(tending!)).toBeGreaterThan(200);
    expect(width(drive!)).toBe(0);
    const top = tending!.filter(([x]) => Math.abs(x - 182) > 50).map(([, y]) => y);
    // Radius 0.09 m is four fifths of the way up from 344 to 64.
    expect(Math.max(...top)).toBeLessThanOrEqual(344 - 0.79 * 280);
  });

  it('marks rough bands at their edge', () => {
    const bars = [...svg.matchAll(/class="rough" x="(\d+)" y="([\d.]+)" width="6" height="([\d.]+)"/g)];
    expect(bars.map(([, x, y, height]) => [Number(x), Number(y), Number(height)])).toEqual([[66, 64, 56]]);
  });

  it('can be drawn of a roll without edges, and is the same bytes each time', () => {
    expect(drawRoll({ ...roll, wraps: [] })).not.toMatch(/polygon/);
    expect(drawRoll(roll)).toBe(svg);
    expect(svg.length).toBeLessThan(60_000);
  });
});

it('an envelope holds every wrap', () => {
  const edge = Array.from({ length: 500 }, (_, i) => ({
    radiusM: 0.1 + i * 1e-4,
    placeM: Math.sin(i * 1.7),
  }));
  const rows = edgeEnvelope(edge, { innerM: 0.1, outerM: 0.15, rows: 40 });
  expect(rows).toHaveLength(40);
  for (const { radiusM, placeM } of edge) {
    const near = rows.filter((one) => Math.abs(one.radiusM - radiusM) <= 0.05 / 80 + 1e-9);
    expect(near.some(({ leastM, mostM }) => leastM <= placeM && placeM <= mostM)).toBe(true);
  }
});

it('axes have round steps', () => {
  expect(axisSteps(76, 130, 6)).toEqual([80, 90, 100, 110, 120, 130]);
  expect(axisSteps(-0.25, 0.25, 4)).toEqual([-0.2, 0, 0.2]);
  expect(() => axisSteps(1, 1, 4)).toThrow(RangeError);
});
