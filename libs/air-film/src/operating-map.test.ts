import { describe, expect, it } from 'vitest';
import { marginAt } from './critical-speed.js';
import { lwcPoint, newsprintPoint, petPoint } from './fixtures/example-points.js';
import { operatingMap } from './operating-map.js';

const speeds = { quantity: 'speed', from: 20, to: 45, steps: 26 } as const;
const diameters = { quantity: 'diameter', from: 0.2, to: 1.5, steps: 27 } as const;
const loads = { quantity: 'nipLoad', from: 500, to: 6000, steps: 23 } as const;

describe('the operating map', () => {
  it('holds the margin of every point of it', () => {
    const { x, y, marginRatio } = operatingMap({ point: lwcPoint, x: speeds, y: diameters });
    expect([x.length, x[0], x.at(-1), y.length, y[0], y.at(-1)]).toEqual([26, 20, 45, 27, 0.2, 1.5]);
    for (const [row, column] of [
      [0, 0],
      [13, 7],
      [26, 25],
    ] as const) {
      const running = { ...lwcPoint.running, speedMPerS: x[column]!, rollDiameterM: y[row]! };
      expect(marginRatio[row]![column]).toBeCloseTo(marginAt({ ...lwcPoint, running })!, 9);
    }
  });

  it('has a boundary on which the margin is 0 and which ends on the edge of the map', () => {
    for (const y of [diameters, loads]) {
      const { boundary } = operatingMap({ point: lwcPoint, x: speeds, y });
      expect(boundary.length).toBeGreaterThan(5);
      for (const [speedMPerS, other] of boundary) {
        const { nip, running } = lwcPoint;
        const at = {
          ...lwcPoint,
          nip: y === loads ? { ...nip, loadNPerM: other } : nip,
          running: { ...running, speedMPerS, ...(y === diameters ? { rollDiameterM: other } : {}) },
        };
        expect(marginAt(at)!).toBeCloseTo(0, 7);
      }
      const onEdge = ([speed, other]: readonly [number, number]) =>
        [20, 45].some((edge) => Math.abs(speed - edge) < 1e-6) || other === y.from || other === y.to;
      expect(onEdge(boundary[0]!)).toBe(true);
      expect(onEdge(boundary.at(-1)!)).toBe(true);
      const others = boundary.map(([, other]) => other);
      expect(others).toEqual([...others].sort((a, b) => a - b));
    }
  });

  it('is cut at both sides where the boundary runs through a narrow map', () => {
    const narrow = { quantity: 'speed', from: 31, to: 36, steps: 4 } as const;
    const { boundary } = operatingMap({ point: lwcPoint, x: narrow, y: { ...diameters, steps: 5 } });
    expect(boundary[0]![0]).toBe(36);
    expect(boundary.at(-1)![0]).toBe(31);
  });

  it('says so where there is no critical speed', () => {
    const { marginRatio, boundary } = operatingMap({ point: newsprintPoint, x: speeds, y: diameters });
    expect(new Set(marginRatio.flat())).toEqual(new Set(['no-critical-speed']));
    expect(boundary).toEqual([]);
  });

  it('takes tension as the second quantity, and no nip load where there is no nip', () => {
    const open = { ...petPoint, nip: null };
    const x = { quantity: 'speed', from: 0.01, to: 0.5, steps: 10 } as const;
    const tensions = { quantity: 'tension', from: 20, to: 400, steps: 10 } as const;
    expect(operatingMap({ point: open, x, y: tensions }).boundary.length).toBeGreaterThan(2);
    expect(() => operatingMap({ point: open, x, y: loads })).toThrow(/needs a nip/);
  });

  it('refuses axes that make no sense', () => {
    const map = (x: typeof speeds | { quantity: 'speed'; from: number; to: number; steps: number }) =>
      operatingMap({ point: lwcPoint, x, y: diameters });
    expect(() => map({ ...speeds, steps: 1 })).toThrow(/x\.steps: a whole number 2 to 1000/);
    expect(() => map({ ...speeds, from: 50 })).toThrow(/x\.from, x\.to/);
  });
});
