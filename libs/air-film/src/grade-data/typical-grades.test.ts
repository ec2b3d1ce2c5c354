import { describe, expect, it } from 'vitest';
import {
  type FigureRange,
  typicalCombinedRoughness,
  type TypicalGrade,
  typicalGrades,
  typicalValue,
} from './index.js';

const byId = (id: string): TypicalGrade => typicalGrades.find((grade) => grade.id === id)!;
const holds = ({ low, high }: FigureRange, value: number) => value >= low && value <= high;

function rangesOf(grade: TypicalGrade): readonly (readonly [string, FigureRange])[] {
  return Object.entries(grade).flatMap(([name, value]: [string, unknown]): [string, FigureRange][] => {
    if (Array.isArray(value))
      return value.map((range: FigureRange, i): [string, FigureRange] => [`${name} ${i}`, range]);
    return typeof value === 'object' && value !== null ? [[name, value as FigureRange]] : [];
  });
}

describe('typical grades', () => {
  it('are the nine to start from, each marked as typical and from memory', () => {
    expect(typicalGrades.map(({ id }) => id)).toEqual([
      'newsprint-45',
      'lwc-55',
      'sc-55',
      'woodfree-uncoated-80',
      'tissue-16',
      'linerboard-160',
      'pet-12',
      'bopp-20',
      'aluminium-7',
    ]);
    for (const { basis } of typicalGrades) expect(basis).toBe('typical, from memory; replace by measured');
  });

  it('have ranges the right way up', () => {
    for (const grade of typicalGrades) {
      const ranges = rangesOf(grade);
      expect(ranges.length).toBeGreaterThanOrEqual(10);
      for (const [name, range] of ranges) {
        expect(range.low, `${grade.id} ${name}`).toBeGreaterThanOrEqual(0);
        expect(range.high, `${grade.id} ${name}`).toBeGreaterThanOrEqual(range.low);
        if (name !== 'permeanceMPerPaS') expect(range.low, `${grade.id} ${name}`).toBeGreaterThan(0);
      }
    }
  });

  it('have densities that such materials have', () => {
    // Handbook densities from memory, kg/m3: paper 600 to 1250, tissue below 300, PET 1390, BOPP 905, aluminium 2700. 1 %: rounding of the ranges.
    const density = (id: string) =>
      typicalValue(byId(id).grammageKgPerM2).value / typicalValue(byId(id).caliperM).value;
    for (const id of ['newsprint-45', 'lwc-55', 'sc-55', 'woodfree-uncoated-80', 'linerboard-160']) {
      expect(density(id)).toBeGreaterThan(600);
      expect(density(id)).toBeLessThan(1250);
    }
    expect(density('tissue-16')).toBeLessThan(300);
    expect(density('pet-12') / 1390).toBeCloseTo(1, 2);
    expect(density('bopp-20') / 905).toBeCloseTo(1, 2);
    expect(density('aluminium-7') / 2700).toBeCloseTo(1, 2);
  });

  it('hold the running tensions that equipment suppliers publish per thickness', () => {
    // Two suppliers' guideline tables, N/m per 25.4 um: foil 175, PET 131, PP 44 to 53; paper 75 g/m2 216. Winders of film often run higher.
    expect(holds(byId('pet-12').tensionNPerM, (131 * 12) / 25.4)).toBe(true);
    expect(holds(byId('bopp-20').tensionNPerM, (53 * 20) / 25.4)).toBe(true);
    expect(holds(byId('aluminium-7').tensionNPerM, (175 * 7) / 25.4)).toBe(true);
    expect(holds(byId('newsprint-45').tensionNPerM, 216)).toBe(true);
  });

  it('put the middle of a range on the logarithm, and its uncertainty covers both ends twice over', () => {
    const { value, uncertainty } = typicalValue({ low: 1, high: 4 });
    expect(value).toBe(2);
    expect(uncertainty / value).toBeCloseTo(Math.log(4) / Math.sqrt(12), 12);
    expect(typicalValue({ low: 0, high: 0 })).toMatchObject({ value: 0, uncertainty: 0 });
    expect(() => typicalValue({ low: 0, high: 1 })).toThrow(
      'range: 0 < low <= high is needed, got low 0, high 1',
    );
    expect(() => typicalValue({ low: 2, high: 1 })).toThrow(RangeError);
  });

  it('take peaks for film and the two unlike sides of foil for the combined roughness', () => {
    const pet = typicalCombinedRoughness(byId('pet-12'));
    expect(pet.value / ((Math.SQRT2 / 3) * Math.sqrt(0.3 * 1) * 1e-6)).toBeCloseTo(1, 9);
    const foil = typicalCombinedRoughness(byId('aluminium-7'));
    expect(foil.value / (Math.hypot(Math.sqrt(0.2 * 0.4), Math.sqrt(0.5 * 0.8)) * 1e-6)).toBeCloseTo(1, 9);
    // Own earlier magnitudes of 3 sigma, um, for such webs (assumed there): foil 1.5, newsprint 15, LWC 4.5. Within a factor of 1.6.
    for (const [id, um] of [
      ['aluminium-7', 1.5],
      ['newsprint-45', 15],
      ['lwc-55', 4.5],
    ] as const) {
      const ratio = (3e6 * typicalCombinedRoughness(byId(id)).value) / um;
      expect(Math.abs(Math.log(ratio))).toBeLessThan(Math.log(1.6));
    }
  });
});
