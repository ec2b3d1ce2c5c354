import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { topicLevels } from './topic-levels.js';
import { itemsFor, topicTree } from './topic-tree.js';

const fits = (patterns: readonly string[], topic: string) =>
  itemsFor(topicTree(patterns.map((text) => ({ levels: topicLevels(text), item: text }))), topic.split('/'));

describe('the patterns that fit a topic', () => {
  // Cases after the examples of MQTT 5.0, 4.7.1 and 4.7.2, with {any} for the single-level wildcard.
  it.each([
    ['sport/{any}', 'sport/tennis', true],
    ['sport/{any}', 'sport', false],
    ['sport/{any}', 'sport/', true],
    ['sport/{any}', 'sport/tennis/player1', false],
    ['sport/tennis/#', 'sport/tennis', true],
    ['sport/tennis/#', 'sport/tennis/player1/ranking', true],
    ['sport/tennis/#', 'sport/tennisx', false],
    ['#', 'sport', true],
    ['#', '$SYS/broker', false],
    ['{any}/broker', '$SYS/broker', false],
    ['$SYS/{any}', '$SYS/broker', true],
    ['{any}/{any}', '/finance', true],
    ['a/{any}/c', 'a/b/C', false],
  ])('%s, %s: %s', (pattern, topic, expected) => {
    expect(fits([pattern], topic)).toEqual(expected ? [pattern] : []);
  });

  it('are all found where several fit', () => {
    const patterns = ['a/#', 'a/{any}', 'a/b', 'a/{winder}', 'b/#'];
    expect([...fits(patterns, 'a/b')].sort()).toEqual(['a/#', 'a/b', 'a/{any}', 'a/{winder}']);
  });

  it('agree with a comparison pattern by pattern', () => {
    const level = fc.constantFrom('a', 'b', '$c', '{any}');
    const pattern = fc
      .tuple(fc.array(level, { minLength: 1, maxLength: 4 }), fc.boolean())
      .map(([levels, rest]) => [...levels, ...(rest ? ['#'] : [])].join('/'));
    const topic = fc
      .array(fc.constantFrom('a', 'b', '$c', ''), { minLength: 1, maxLength: 5 })
      .map((levels) => levels.join('/'));
    fc.assert(
      fc.property(fc.uniqueArray(pattern, { maxLength: 8 }), topic, (patterns, text) => {
        expect([...fits(patterns, text)].sort()).toEqual(
          patterns.filter((one) => fitsAlone(one, text)).sort(),
        );
      }),
    );
  });
});

/** Independent of the tree: the pattern as a regular expression. */
function fitsAlone(pattern: string, topic: string): boolean {
  const wild = pattern.startsWith('{') || pattern.startsWith('#');
  if (wild && topic.startsWith('$')) return false;
  const source = pattern
    .replaceAll('$', '\\$')
    .replaceAll(/\{\w+\}/g, '[^/]*')
    .replace(/\/#$/, '(/.*)?')
    .replace(/^#$/, '.*');
  return new RegExp(`^${source}$`).test(topic);
}
