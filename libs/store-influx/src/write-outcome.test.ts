import { describe, expect, it } from 'vitest';
import { classifyAnswer, noAnswer } from './write-outcome.js';

const json = (error: string): string => JSON.stringify({ error });

// Answers observed from a running InfluxDB 1.6.7; those of proxies (502, 504, 429) are common practice.
describe('what an answer to a write means', () => {
  it.each([
    [204, '', 'written', undefined],
    [
      400,
      json("partial write: unable to parse 'm v=oops 1': invalid number dropped=0"),
      'refused',
      'replica-refused',
    ],
    [400, json("unable to parse 'm v=NaN': invalid number"), 'refused', 'replica-refused'],
    [
      400,
      json(
        'partial write: field type conflict: input field "v" on measurement "m" is type float, already exists as type string dropped=1',
      ),
      'refused',
      'replica-refused',
    ],
    [400, json('partial write: points beyond retention policy dropped=1'), 'refused', 'replica-refused'],
    [
      400,
      json('partial write: max-series-per-database limit exceeded: (1000) dropped=400'),
      'misconfigured',
      'replica-limit-reached',
    ],
    [
      400,
      json(
        'partial write: max-values-per-tag limit exceeded (100/100): measurement="m" tag="t" value="x" dropped=1',
      ),
      'misconfigured',
      'replica-limit-reached',
    ],
    [400, json('database is required'), 'misconfigured', 'replica-not-influxdb'],
    [401, json('authorization failed'), 'misconfigured', 'replica-not-authorized'],
    [
      403,
      json('"writer" user is not authorized to write to database "d"'),
      'misconfigured',
      'replica-not-authorized',
    ],
    [404, json('database not found: "d"'), 'misconfigured', 'replica-database-missing'],
    [404, '404 page not found', 'misconfigured', 'replica-not-influxdb'],
    [500, json('retention policy not found: raw'), 'misconfigured', 'replica-retention-policy-missing'],
    [500, json('timeout'), 'retry', 'replica-busy'],
    [500, json('engine: cache-max-memory-size exceeded: (1073741824/1073741824)'), 'retry', 'replica-busy'],
    [400, json('partial write: cache-max-memory-size exceeded'), 'retry', 'replica-busy'],
    [500, json('write failed'), 'retry', 'replica-busy'], // while the server shuts down
    [500, json('something new'), 'retry', 'replica-busy'],
    [502, '<html>bad gateway</html>', 'retry', 'replica-busy'],
    [503, '', 'retry', 'replica-busy'],
    [504, '', 'retry', 'replica-busy'],
    [429, '', 'retry', 'replica-busy'],
    [413, json('Request Entity Too Large'), 'split', 'replica-batch-too-large'],
    [200, '<html>a page of somebody else</html>', 'misconfigured', 'replica-not-influxdb'],
    [302, '', 'misconfigured', 'replica-not-influxdb'],
    [405, '', 'misconfigured', 'replica-not-influxdb'],
  ])('%d %s is %s', (status, body, kind, code) => {
    const outcome = classifyAnswer(status, body);
    expect([outcome.kind, outcome.kind === 'written' ? undefined : outcome.because.code]).toEqual([
      kind,
      code,
    ]);
  });

  // A batch that the server will never take must not be sent for ever because a text in it says "timeout".
  it.each([
    'timeout',
    'engine: x',
    'retention policy not found',
    'max-series-per-database',
    'cache-max-memory-size',
  ])('does not take %j in a quoted line for the words of the server', (words) => {
    expect(
      classifyAnswer(400, json(`partial write: unable to parse 'm s="${words}': unbalanced quotes dropped=0`))
        .kind,
    ).toBe('refused');
    expect(
      classifyAnswer(
        400,
        json(
          `partial write: field type conflict: input field "${words}" on measurement "m" is type float, already exists as type string dropped=1`,
        ),
      ).kind,
    ).toBe('refused');
  });

  // InfluxDB 2.x, 1.x-compatible `/write`, as its documentation and source (influxdata/influxdb, http/legacy) describe it; not observed.
  it.each([
    [401, 'unauthorized', 'unauthorized access', 'misconfigured', 'replica-not-authorized'],
    [403, 'forbidden', 'insufficient permissions for write', 'misconfigured', 'replica-not-authorized'],
    [404, 'not found', 'no dbrp mapping found', 'misconfigured', 'replica-mapping-missing'],
    [404, 'not found', 'unable to find DBRP', 'misconfigured', 'replica-mapping-missing'],
    [404, 'not found', 'bucket "mill/autogen" not found', 'misconfigured', 'replica-mapping-missing'],
    [400, 'invalid', 'writing requires points', 'refused', 'replica-refused'],
    [400, 'invalid', "unable to parse 'm v=oops': invalid number", 'refused', 'replica-refused'],
    [
      413,
      'request too large',
      'unable to read data: points batch is too large',
      'split',
      'replica-batch-too-large',
    ],
    [
      422,
      'unprocessable entity',
      'failure writing points to database: partial write: points beyond retention policy dropped=1',
      'refused',
      'replica-refused',
    ],
    [
      500,
      'internal error',
      'unexpected error writing points to database: partial write: field type conflict dropped=1',
      'refused',
      'replica-refused',
    ],
    [500, 'internal error', 'unexpected error writing points to database: timeout', 'retry', 'replica-busy'],
    [429, 'too many requests', 'rate limit', 'retry', 'replica-busy'],
    [503, 'unavailable', 'unavailable', 'retry', 'replica-busy'],
  ])('of InfluxDB 2.x, %i %s: %s', (status, code, message, kind, reasonCode) => {
    expect(classifyAnswer(status, JSON.stringify({ code, message }))).toMatchObject({
      kind,
      because: { code: reasonCode, text: `InfluxDB answered ${status}: ${message}` },
    });
  });

  it('heeds how long the server asks to be left alone, up to five minutes', () => {
    expect(classifyAnswer(503, '', '30')).toMatchObject({ kind: 'retry', afterMs: 30_000 });
    expect(classifyAnswer(429, '', '99999')).toMatchObject({ kind: 'retry', afterMs: 300_000 });
    for (const unread of [null, '', '-1', 'Wed, 21 Oct 2026 07:28:00 GMT'])
      expect(classifyAnswer(503, '', unread)).not.toHaveProperty('afterMs');
    expect(classifyAnswer(401, '', '30')).not.toHaveProperty('afterMs');
  });

  it('reads how many lines were left out', () => {
    expect(
      classifyAnswer(400, json('partial write: points beyond retention policy dropped=17')),
    ).toMatchObject({ dropped: 17 });
    expect(classifyAnswer(400, json('unable to parse'))).toMatchObject({ dropped: 0 });
  });

  it('says what failed where there is no answer', () => {
    const refused = new TypeError('fetch failed', {
      cause: new Error('connect ECONNREFUSED 127.0.0.1:8086'),
    });
    expect(noAnswer(refused)).toMatchObject({
      kind: 'retry',
      because: {
        code: 'replica-unreachable',
        text: 'InfluxDB does not answer: connect ECONNREFUSED 127.0.0.1:8086',
      },
    });
  });
});
