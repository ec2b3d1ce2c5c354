import { describe, expect, it } from 'vitest';
import { influxDuration } from './roll-up-layout.js';

const hourMs = 3_600_000;

describe('how long a retention policy is made to keep, in InfluxQL', () => {
  // InfluxDB 1.x documentation, "InfluxQL reference", durations: `h`, `d`, and INF for no end; an hour is the shortest of a policy.
  it.each([
    [90 * 24 * hourMs, '90d'],
    [36 * hourMs, '36h'],
    [1, '1h'],
    [null, 'INF'],
  ])('%s ms is %s', (keptMs, words) => {
    expect(influxDuration(keptMs)).toBe(words);
  });
});
