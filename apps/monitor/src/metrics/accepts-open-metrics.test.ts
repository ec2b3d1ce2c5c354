import { describe, expect, it } from 'vitest';
import { acceptsOpenMetrics } from './accepts-open-metrics.js';

describe('what a collector accepts', () => {
  it.each([
    [undefined, true],
    ['', true],
    ['*/*', true],
    ['application/openmetrics-text', true],
    ['application/openmetrics-text; version=1.0.0; charset=utf-8', true],
    [
      'application/openmetrics-text;version=0.0.1;q=0.5,application/openmetrics-text;version=1.0.0;q=0.7',
      true,
    ],
    ['text/html,application/xhtml+xml,*/*;q=0.8', true],
    ['text/plain;version=0.0.4', false],
    ['application/openmetrics-text;q=0, text/plain', false],
    ['application/openmetrics-text;version=2.0.0', false],
    ['application/json', false],
  ])('%s: %s', (accept, taken) => {
    expect(acceptsOpenMetrics(accept)).toBe(taken);
  });
});
