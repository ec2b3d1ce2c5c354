import { describe, expect, it } from 'vitest';
import { resumeStream } from './random-stream.js';
import { seedStream } from './seed-stream.js';

describe('a random stream', () => {
  it('gives the published sequence of xoshiro128** 1.1 from the state 1, 2, 3, 4 (reference implementation of Blackman and Vigna)', () => {
    const stream = resumeStream([1, 2, 3, 4]);
    const drawn = Array.from({ length: 10 }, () => stream.bits());
    expect(drawn).toEqual([
      11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597, 4258142804,
    ]);
  });

  it('goes on where it was left', () => {
    const whole = resumeStream(seedStream(5, 'a'));
    const first = resumeStream(seedStream(5, 'a'));
    const together = Array.from({ length: 20 }, () => whole.normal());
    const head = Array.from({ length: 9 }, () => first.normal());
    const second = resumeStream(first.state());
    expect([...head, ...Array.from({ length: 11 }, () => second.normal())]).toEqual(together);
  });

  it('is uniform in [0, 1): mean, variance and the ten tenths, each within four standard errors of 100 000 draws', () => {
    const stream = resumeStream(seedStream(1, 'uniform'));
    const n = 100_000;
    const tenths = new Array<number>(10).fill(0);
    let [sum, squares] = [0, 0];
    for (let i = 0; i < n; i += 1) {
      const u = stream.uniform();
      expect(u >= 0 && u < 1).toBe(true);
      sum += u;
      squares += (u - 0.5) * (u - 0.5);
      tenths[Math.floor(u * 10)]! += 1;
    }
    expect(Math.abs(sum / n - 0.5)).toBeLessThan((4 * 0.2887) / Math.sqrt(n));
    expect(Math.abs(squares / n - 1 / 12)).toBeLessThan((4 * 0.0745) / Math.sqrt(n));
    for (const count of tenths) expect(Math.abs(count - n / 10)).toBeLessThan(4 * Math.sqrt(n * 0.09));
  });

  it('is normal: mean, variance, skewness, tails within four standard errors of 200 000 draws', () => {
    const stream = resumeStream(seedStream(2, 'normal'));
    const n = 200_000;
    let [sum, squares, cubes, beyond] = [0, 0, 0, 0];
    for (let i = 0; i < n; i += 1) {
      const x = stream.normal();
      sum += x;
      squares += x * x;
      cubes += x * x * x;
      if (Math.abs(x) > 1.959964) beyond += 1;
    }
    const root = Math.sqrt(n);
    expect(Math.abs(sum / n)).toBeLessThan(4 / root);
    expect(Math.abs(squares / n - 1)).toBeLessThan((4 * Math.SQRT2) / root);
    expect(Math.abs(cubes / n)).toBeLessThan((4 * Math.sqrt(15)) / root);
    expect(Math.abs(beyond / n - 0.05)).toBeLessThan((4 * Math.sqrt(0.05 * 0.95)) / root);
  });

  it('is another one for another name and another seed, without visible correlation', () => {
    const draws = (seed: number, name: string) => {
      const stream = resumeStream(seedStream(seed, name));
      return Array.from({ length: 20_000 }, () => stream.uniform() - 0.5);
    };
    const a = draws(7, 'film-1/a/skew');
    for (const other of [draws(8, 'film-1/a/skew'), draws(7, 'film-1/b/skew'), draws(7, 'film-1/a/path')]) {
      const correlation = a.reduce((sum, x, i) => sum + x * other[i]!, 0) / a.length / (1 / 12);
      expect(Math.abs(correlation)).toBeLessThan(4 / Math.sqrt(a.length));
    }
  });

  it('refuses a seed that is not a whole number of 32 bits', () => {
    expect(() => seedStream(-1, 'x')).toThrow(/seed/);
    expect(() => seedStream(1.5, 'x')).toThrow(/seed/);
    expect(() => seedStream(2 ** 32, 'x')).toThrow(/seed/);
  });
});
