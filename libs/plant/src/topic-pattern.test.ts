import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseTopic, topicsOverlap } from './topic-pattern.js';

const levelsOf = (topic: string) => {
  const pattern = parseTopic(topic);
  if (!pattern.ok) throw new Error(pattern.faults.join('; '));
  return pattern.levels;
};
const overlap = (a: string, b: string) =>
  topicsOverlap(
    levelsOf(a),
    levelsOf(b),
    (name, text) => name !== 'end' || text === 'tending' || text === 'drive',
  );

describe('a topic', () => {
  it('is taken apart into fixed levels, captures and the rest', () => {
    expect(levelsOf('plant/{winder}/{any}/#')).toEqual([
      { kind: 'text', text: 'plant' },
      { kind: 'capture', name: 'winder' },
      { kind: 'capture', name: 'any' },
      { kind: 'rest' },
    ]);
  });

  it('may begin with a slash and hold an empty level, as MQTT allows', () => {
    expect(levelsOf('/plant//x')).toHaveLength(4);
  });

  it('tells all its faults at once', () => {
    expect(parseTopic('{winder}/{winder}/+/x#/#')).toEqual({
      ok: false,
      faults: ['{any} for one level instead of +', '# only as the whole last level', '{winder} only once'],
    });
  });
});

describe('two topics', () => {
  it.each([
    ['a/b', 'a/b', true],
    ['a/b', 'a/c', false],
    ['a/b', 'a/b/c', false],
    ['a/#', 'a/b/c', true],
    // MQTT 5.0, 4.7.1.2: "#" also takes the parent level.
    ['a/#', 'a', true],
    ['a/#', 'b', false],
    ['{winder}/x', 'w1/{any}', true],
    ['{winder}/x', 'w1/y', false],
    ['nip/{end}', 'nip/drive', true],
    ['nip/{end}', 'nip/speed', false],
    ['{any}/{any}', 'a', false],
    ['#', 'a/b/c', true],
    ['#', '$SYS/broker', false],
    ['$SYS/#', '$SYS/broker', true],
  ])('%s and %s overlap: %s', (a, b, expected) => {
    expect([overlap(a, b), overlap(b, a)]).toEqual([expected, expected]);
  });

  it('overlap exactly when some topic of a small alphabet fits both', () => {
    const level = fc.constantFrom('a', 'b', '{any}');
    const topic = fc
      .tuple(fc.array(level, { minLength: 1, maxLength: 3 }), fc.boolean())
      .map(([levels, rest]) => [...levels, ...(rest ? ['#'] : [])]);
    // Own matcher of a concrete topic against a pattern, written from MQTT 5.0, 4.7.1.
    const fits = (pattern: readonly string[], concrete: readonly string[]): boolean => {
      const [head, ...tail] = pattern;
      if (head === undefined) return concrete.length === 0;
      if (head === '#') return true;
      return (
        concrete.length > 0 && (head === '{any}' || head === concrete[0]) && fits(tail, concrete.slice(1))
      );
    };
    const concretes = ['a', 'b'].flatMap((x) => [
      [x],
      ...['a', 'b'].flatMap((y) => [
        [x, y],
        ...['a', 'b'].flatMap((z) => [
          [x, y, z],
          [x, y, z, 'a'],
        ]),
      ]),
    ]);
    fc.assert(
      fc.property(topic, topic, (a, b) => {
        expect(overlap(a.join('/'), b.join('/'))).toBe(concretes.some((one) => fits(a, one) && fits(b, one)));
      }),
    );
  });
});
