import { describe, expect, it } from 'vitest';
import { cellEndMs, cellIndex, dueCells } from './grid.js';

describe('the event-time grid', () => {
  it('closes a cell when its end and the allowance for late readings have passed', () => {
    const at = (watermarkMs: number): number[] =>
      dueCells({ closed: 9, open: [10, 11], watermarkMs, latenessMs: 1000 });
    expect(at(11_999)).toEqual([]);
    expect(at(12_000)).toEqual([10]);
    expect(at(13_000)).toEqual([10, 11]);
  });

  it('begins with the first cell that has a reading', () => {
    expect(dueCells({ closed: null, open: [10, 12], watermarkMs: 14_000, latenessMs: 1000 })).toEqual([
      10, 11, 12,
    ]);
  });

  it('begins with the present cell where time passes without a reading', () => {
    expect(dueCells({ closed: null, open: [], watermarkMs: 14_000, latenessMs: 1000 })).toEqual([12]);
  });

  it('skips most of a long silence but keeps its beginning, its end and what was read in it', () => {
    const cells = dueCells({ closed: 0, open: [5000], watermarkMs: 100_000_000, latenessMs: 1000 });
    expect(cells.slice(0, 120)).toEqual(Array.from({ length: 120 }, (_, k) => k + 1));
    expect(cells).toContain(5000);
    expect(cells.at(-1)).toBe(99_998);
    expect(cells.length).toBeLessThan(400);
  });

  it('puts the end of a cell where the next one begins', () => {
    expect(cellIndex(cellEndMs(7))).toBe(8);
  });
});
