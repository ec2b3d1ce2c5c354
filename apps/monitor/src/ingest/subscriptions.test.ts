import { describe, expect, it } from 'vitest';
import { filterTakes, requireTopicFilters } from './subscriptions.js';

describe('topic filters', () => {
  it.each(['#', '+', 'plant/#', 'plant/+/speed', '+/+', '/', 'spBv1.0/north/DDATA/l1-gw/w3'])(
    '%s is one',
    (filter) => {
      expect(() => requireTopicFilters([filter])).not.toThrow();
    },
  );

  // MQTT 5.0, 4.7.1.2 and 4.7.1.3, non-normative examples, and 4.7.3 for the empty one.
  it.each(['', 'sport+', 'sport/tennis#', 'sport/tennis/#/ranking', 'a\0b'])('"%s" is none', (filter) => {
    expect(() => requireTopicFilters(['plant/#', filter])).toThrow(RangeError);
  });
});

// Examples and rules of MQTT 5.0, 4.7.1.2, 4.7.1.3 and 4.7.2.
describe('a filter', () => {
  it.each([
    ['sport/tennis/player1/#', 'sport/tennis/player1', true],
    ['sport/tennis/player1/#', 'sport/tennis/player1/score/wimbledon', true],
    ['sport/#', 'sport', true],
    ['sport/tennis/+', 'sport/tennis/player1', true],
    ['sport/tennis/+', 'sport/tennis/player1/ranking', false],
    ['sport/+', 'sport', false],
    ['sport/+', 'sport/', true],
    ['+/+', '/finance', true],
    ['+', '/finance', false],
    ['#', '$SYS/uptime', false],
    ['+/monitor/clients', '$SYS/monitor/clients', false],
    ['$SYS/#', '$SYS/uptime', true],
    ['a/b', 'a/b/c', false],
  ])('%s with %s: %s', (filter, topic, takes) => {
    expect(filterTakes(filter, topic)).toBe(takes);
  });
});
