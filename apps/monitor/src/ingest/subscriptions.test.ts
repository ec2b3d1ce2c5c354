import { describe, expect, it } from 'vitest';
import { requireTopicFilters } from './subscriptions.js';

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
