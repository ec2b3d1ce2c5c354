import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { cosineOfTurns, exponential, naturalLog, power, sineOfTurns } from './portable-math.js';

const SRC = fileURLToPath(new URL('../', import.meta.url));

describe('the functions that take the place of Math.*', () => {
  it('exponential agrees with Math.exp to 1e-15 over its range', () => {
    for (let x = -700; x <= 700; x += 0.37)
      expect(Math.abs(exponential(x) / Math.exp(x) - 1)).toBeLessThan(1e-15);
    expect(exponential(0)).toBe(1);
    expect(exponential(-800)).toBe(0);
    expect(() => exponential(800)).toThrow(RangeError);
  });

  it('naturalLog agrees with Math.log to 1e-15 (near 1 to 1e-15 of the distance)', () => {
    for (let x = 1e-9; x < 1e9; x *= 1.37) {
      const right = Math.log(x);
      expect(Math.abs(naturalLog(x) - right)).toBeLessThan(1e-15 * Math.max(1, Math.abs(right)));
    }
    expect(naturalLog(1)).toBe(0);
    expect(naturalLog(1 + 1e-10) / Math.log1p(1e-10)).toBeCloseTo(1, 6); // 1 + 1e-10 itself is rounded
    expect(() => naturalLog(0)).toThrow(RangeError);
  });

  it('power agrees with Math.pow to 1e-14', () => {
    for (let x = 1e-6; x < 1e6; x *= 2.3) {
      for (const y of [-2, -0.4, 0.2, 2 / 3, 1.5])
        expect(Math.abs(power(x, y) / Math.pow(x, y) - 1)).toBeLessThan(1e-14);
    }
  });

  it('sine and cosine of turns agree with Math.* to 4e-16 within two turns, and repeat exactly', () => {
    for (let turns = -2; turns <= 2; turns += 0.00137) {
      const near = turns - Math.round(turns);
      expect(Math.abs(sineOfTurns(turns) - Math.sin(2 * Math.PI * near))).toBeLessThan(4e-16);
      expect(Math.abs(cosineOfTurns(turns) - Math.cos(2 * Math.PI * near))).toBeLessThan(4e-16);
    }
    expect(sineOfTurns(1000.25)).toBe(1);
    expect(sineOfTurns(12345678)).toBe(0);
    expect(cosineOfTurns(-7.5)).toBe(-1);
  });
});

it('nothing in the simulator uses a function whose last digits the engine may choose, nor the clock or chance outside the shell', () => {
  const files = readdirSync(SRC, { recursive: true, encoding: 'utf8' }).filter(
    (f) => f.endsWith('.ts') && !f.endsWith('.test.ts'),
  );
  expect(files.length).toBeGreaterThan(40);
  const chosen =
    /Math\.(a?sinh?|a?cosh?|a?tanh?|atan2|exp|expm1|log|log2|log10|log1p|pow|cbrt|hypot|random)\b|[^*/]\*\*[^*/]/;
  const outside = /Date\.now|new Date\(\)|performance\./;
  for (const file of files) {
    const code = readFileSync(`${SRC}${file}`, 'utf8').replace(/\/\*[\s\S]*?\*\/|\/\/.*/g, '');
    expect(chosen.exec(code)?.[0], file).toBeUndefined();
    if (!file.startsWith('shell/') && file !== 'main.ts')
      expect(outside.exec(code)?.[0], file).toBeUndefined();
  }
});
