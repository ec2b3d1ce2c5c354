import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sampleRisk } from '../fixtures/station-fixtures.js';
import type { Level } from '../model/level.js';
import { endView } from './end-view.js';
import { inHandBar } from './in-hand-bar.js';
import { type Label, placeLabels } from './place-labels.js';
import { plateEdge } from './plate-edge.js';
import type { GaugeData } from './gauge-scale.js';
import { tintInk, tintStep } from './tint.js';

describe('the edge of a plate', () => {
  const teeth = (level: Level): number =>
    [...plateEdge(level).matchAll(/H(\d+(?:\.\d+)?)V/g)].filter(([, out]) => Number(out) > 0).length;

  it('has three wraps standing out for high, two for medium, one for low, none otherwise', () => {
    expect((['high', 'medium', 'low', 'none', 'unwatched', 'trial'] as const).map(teeth)).toEqual([
      3, 2, 1, 0, 0, 0,
    ]);
    expect(plateEdge('none')).toBe('M0 0V90');
  });

  it('runs from top to bottom, uneven', () => {
    expect(plateEdge('medium')).toMatch(/^M0 0.*H40V30.*H24V60.*V90H0$/);
  });
});

describe('ink for risk', () => {
  it('grows with the chance and takes the nearer end outside 0 to 1', () => {
    expect([-1, 0, 0.5, 1, 7, Number.NaN].map(tintStep)).toEqual([0, 0, 10, 20, 20, 0]);
    expect(tintInk(10)).toBe('color-mix(in oklab, var(--risk-1) 50%, var(--risk-0))');
  });
});

describe('labels on a line', () => {
  const label = (key: string, x: number, over: Partial<Label> = {}): Label => ({
    key,
    text: 'now 586',
    x,
    anchor: 'middle',
    fontSize: 20,
    bold: false,
    ...over,
  });
  const keys = (labels: readonly Label[]) => placeLabels(labels, 0, 1000).map(({ key }) => key);

  it('drop the less important where two would overlap', () => {
    expect(keys([label('now', 500), label('by', 520), label('end', 900)])).toEqual(['now', 'end']);
  });

  it('turn to the other side of their mark where there is no room on their own', () => {
    const [placed] = placeLabels([label('earliest', 20, { anchor: 'end' })], 0, 1000);
    expect(placed?.left).toBe(20);
  });

  it('move inwards from the margin', () => {
    const [placed] = placeLabels([label('end', 995)], 0, 1000);
    expect(placed?.right).toBe(1000);
  });

  it('never overlap, never leave the margins, and always keep the first that fits', () => {
    const anyLabel = fc.record({
      key: fc.uuid(),
      text: fc.string({ maxLength: 14 }),
      x: fc.integer({ min: 0, max: 1000 }),
      anchor: fc.constantFrom('start', 'middle', 'end' as const),
      fontSize: fc.integer({ min: 10, max: 40 }),
      bold: fc.boolean(),
    }) as fc.Arbitrary<Label>;
    fc.assert(
      fc.property(fc.array(anyLabel, { maxLength: 8 }), (labels) => {
        const placed = [...placeLabels(labels, 0, 1000)].sort((a, b) => a.left - b.left);
        for (const [at, one] of placed.entries()) {
          expect(one.left).toBeGreaterThanOrEqual(0);
          expect(one.right).toBeLessThanOrEqual(1000.001);
          const before = placed[at - 1];
          if (before !== undefined) expect(one.left).toBeGreaterThanOrEqual(before.right + 9.999);
        }
      }),
    );
  });
});

describe('the roll end view', () => {
  const data: GaugeData = {
    coreM: 0.1,
    nowM: 0.5,
    live: true,
    setEndM: 1,
    wound: sampleRisk((d) => (d > 0.3 && d < 0.32 ? 0.9 : 0), 0.1, 0.5),
    ahead: [],
    after: [],
    boundary: null,
    byM: null,
    fullM: 1,
  };

  it('keeps true proportion: core, wound roll, end of set', () => {
    const view = endView(data, null, { width: 206, height: 206, ring: 1.4 });
    expect(view).toMatchObject({ wound: 50, end: 100, core: 10, nip: null });
  });

  it('shows the highest risk within each ring, from outside in', () => {
    const { rings } = endView(data, null, { width: 206, height: 206, ring: 2 });
    const dark = rings.filter(({ step }) => step !== null && step > 10);
    expect(dark).toHaveLength(1);
    expect(dark[0]?.radius).toBeGreaterThan(30);
    expect(dark[0]?.radius).toBeLessThan(35);
    expect(rings.map(({ radius }) => radius)).toEqual(
      [...rings.map(({ radius }) => radius)].sort((a, b) => b - a),
    );
  });

  it('does not tint wraps that nobody saw', () => {
    const { rings } = endView({ ...data, wound: sampleRisk(() => 0, 0.3, 0.5) }, null, {
      width: 206,
      height: 206,
      ring: 2,
    });
    expect(rings.map(({ step }) => step)).toEqual([0, null]);
  });

  it('lets the nip roller touch the roll, to the same scale', () => {
    const { nip, centre, wound } = endView(data, 0.2, { width: 206, height: 206, ring: 2 });
    expect((nip?.radius ?? 0) / wound).toBeCloseTo(0.2 / 0.5);
    expect(Math.hypot((nip?.x ?? 0) - centre.x, (nip?.y ?? 0) - centre.y)).toBeCloseTo(
      wound + (nip?.radius ?? 0),
    );
  });

  it('keeps roll and roller in the picture, however large the roller and however far the roll has grown', () => {
    for (const nipM of [0.05, 0.4, 2]) {
      for (const nowM of [0.1, 0.5, 1]) {
        const { nip, centre, end, wound } = endView({ ...data, nowM }, nipM, {
          width: 270,
          height: 226,
          ring: 2,
        });
        const reach = Math.max(end ?? 0, wound);
        expect(centre.x - reach).toBeGreaterThanOrEqual(0);
        expect(centre.y + reach).toBeLessThanOrEqual(226);
        expect((nip?.x ?? 0) + (nip?.radius ?? 0)).toBeLessThanOrEqual(270);
        expect((nip?.y ?? 0) - (nip?.radius ?? 0)).toBeGreaterThanOrEqual(0);
      }
    }
  });
});

describe('the share in hand', () => {
  it('runs from zero to the right in hand, to the left used up, with a box of its uncertainty', () => {
    expect(inHandBar(0.33, 0.09)).toMatchObject({ from: 0, to: 0.33, beyond: null });
    expect(inHandBar(0.33, 0.09)?.boxFrom).toBeCloseTo(0.24);
    expect(inHandBar(-0.2, 0)).toMatchObject({ from: -0.2, to: 0 });
  });

  it('stays on its scale and says where the value lies beyond it', () => {
    expect(inHandBar(-3, 1)).toEqual({ from: -0.5, to: 0, boxFrom: -0.5, boxTo: -0.5, beyond: 'left' });
    expect(inHandBar(1.2, 0.1)).toMatchObject({ to: 1, beyond: 'right' });
    expect(inHandBar(Number.NaN, 0)).toBeNull();
  });
});
