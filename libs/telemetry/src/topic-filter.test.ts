import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { subscriptions } from './topic-filter.js';

const filters = (...topics: string[]) => subscriptions({ sources: topics.map((topic) => ({ topic })) });

describe('the topic filters to subscribe', () => {
  it('put + for each capture', () => {
    expect(filters('plant/{winder}/{station}/{any}', 'gateway/#')).toEqual(['plant/+/+/+', 'gateway/#']);
  });

  it('leave out what another covers, whichever comes first', () => {
    expect(filters('a/{winder}/x', 'a/w3/x')).toEqual(['a/+/x']);
    expect(filters('a/w3/x', 'a/b', 'a/#')).toEqual(['a/#']);
    expect(filters('a', 'a/#')).toEqual(['a/#']);
    expect(filters('a/b', 'a/b')).toEqual(['a/b']);
  });

  it('widen two that overlap into one, so that the broker sends no message twice', () => {
    expect(filters('a/{winder}/x', 'a/w3/{any}')).toEqual(['a/+/+']);
    expect(filters('a/{any}', 'a/b/#')).toEqual(['a/+/#']);
  });

  it('keep apart what no topic can match together', () => {
    expect(filters('a/{any}', 'a/b/c', '$SYS/{any}', '{any}/y/z')).toEqual([
      'a/+',
      'a/b/c',
      '$SYS/+',
      '+/y/z',
    ]);
  });

  it('match all topics of the sources, and no topic twice', () => {
    const level = fc.constantFrom('a', 'b', '$c', '{any}');
    const source = fc
      .tuple(fc.array(level, { minLength: 1, maxLength: 3 }), fc.boolean())
      .map(([levels, rest]) => [...levels, ...(rest ? ['#'] : [])].join('/'));
    fc.assert(
      fc.property(fc.array(source, { minLength: 1, maxLength: 6 }), (sources) => {
        const chosen = filters(...sources);
        for (const topic of topics) {
          const wanted = sources.some((one) => matches(one.replaceAll(/\{\w+\}/g, '+'), topic));
          const copies = chosen.filter((filter) => matches(filter, topic)).length;
          expect(copies).toBeLessThanOrEqual(1);
          if (wanted) expect(copies).toBe(1);
        }
      }),
    );
  });
});

/** All topics of one to four levels over a few names. */
const names = ['a', 'b', '$c', 'x'];
const topics = [2, 3, 4]
  .reduce<string[][]>(
    (byDepth) => [
      ...byDepth,
      (byDepth.at(-1) ?? []).flatMap((topic) => names.map((name) => `${topic}/${name}`)),
    ],
    [names],
  )
  .flat();

/** MQTT 5.0, 4.7, as a regular expression. */
function matches(filter: string, topic: string): boolean {
  if (/^[+#]/.test(filter) && topic.startsWith('$')) return false;
  const source = filter
    .replaceAll('$', '\\$')
    .replaceAll('+', '[^/]*')
    .replace(/\/#$/, '(/.*)?')
    .replace(/^#$/, '.*');
  return new RegExp(`^${source}$`).test(topic);
}
