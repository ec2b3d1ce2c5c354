import { plantSchema } from '@edge-margin/plant';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compileSources } from './compile-sources.js';
import { type Decoded, decode, decodeMessage } from './decode.js';
import {
  type DecoderState,
  clockOffsets,
  decoderState,
  initialDecoderState,
  topicMemories,
} from './decoder-state.js';
import fixture from './fixtures/plant.json' with { type: 'json' };
import type { MessageRow } from './journal-row.js';

const plant = plantSchema.parse(fixture.plant);
const strict = new TextDecoder('utf-8', { fatal: true });
const textDecoder = (bytes: Uint8Array) => strict.decode(bytes);
const compiled = compileSources(plant, { textDecoder });

const startMs = Date.UTC(2026, 10, 25, 4, 55, 15);
const iso = (atMs: number) => new Date(atMs).toISOString();
const stationA = 'plant/north/conv/l1/w3/m/a';

function message(topic: string, payload: unknown, more: Partial<MessageRow> = {}): MessageRow {
  const bytes =
    payload instanceof Uint8Array
      ? payload
      : new TextEncoder().encode(typeof payload === 'string' ? payload : JSON.stringify(payload));
  return {
    kind: 'message',
    position: 1,
    arrivedAtMs: startMs + 100,
    topic,
    payload: bytes,
    qos: 1,
    retain: false,
    dup: false,
    ...more,
  };
}

/** Decodes in order; the state goes through JSON after each message. */
function decodeAll(
  rows: readonly MessageRow[],
  sources = compiled,
): { last: Decoded; all: readonly Decoded[]; state: DecoderState } {
  let state = initialDecoderState;
  const all = rows.map((row) => {
    const decoded = decode(state, row, sources);
    state = JSON.parse(JSON.stringify(decoded.state)) as DecoderState;
    return decoded;
  });
  return { last: all.at(-1)!, all, state };
}

const decodeOne = (topic: string, payload: unknown, more?: Partial<MessageRow>) =>
  decodeAll([message(topic, payload, more)]).last;
const values = ({ readings }: Decoded) =>
  readings.map(({ stationKey, signal, end, value }) => `${stationKey} ${signal} ${end} ${value}`);
const codes = ({ notUsed }: Decoded) => notUsed.map(({ because }) => because.code);

describe('a JSON message', () => {
  const good = {
    at: iso(startMs),
    n: 1,
    speed: 1200,
    diameter: 612.5,
    tension: 300,
    nip: { acc: 1.5 },
    grade: 'film-a',
    winding: true,
  };

  it('becomes one reading per mapped field, in SI', () => {
    const decoded = decodeOne(stationA, good);
    expect(decoded.notUsed).toEqual([]);
    // 1200 m/min = 20 m/s; 300 N over 2 m = 150 N/m; -(2 x 1.5 - 1) g = -2 x 9.80665 m/s2, standard gravity (3rd CGPM, 1901).
    expect(values(decoded)).toEqual([
      'w3/a speed both 20',
      'w3/a diameter both 0.6125',
      'w3/a tension both 150',
      'w3/a nipAcceleration both -19.6133',
      'w3/a grade both film-a',
      'w3/a winding both 1',
    ]);
  });

  it('carries event time, arrival, uncertainty and what kind of message it was', () => {
    const { readings } = decodeOne(stationA, good);
    // sqrt(0.03^2 + (0.002 x 20)^2) = 0.05 (JCGM 100:2008, 5.1.2).
    expect(readings[0]).toMatchObject({
      atMs: startMs,
      arrivedAtMs: startMs + 100,
      timeFromArrival: false,
      retained: false,
    });
    expect(readings[0]?.uncertainty).toBeCloseTo(0.05, 12);
    expect(readings[1]?.uncertainty).toBe(0);
  });

  it('may feed several stations, each field with a time of its own', () => {
    const decoded = decodeOne('gateway/w3/any/thing', {
      ts: startMs,
      v: 12,
      d: { ts: startMs / 1000 - 5, value: 0.4 },
    });
    expect(values(decoded)).toEqual(['w3/a speed both 12', 'w3/b speed both 12', 'w3/b diameter both 0.4']);
    expect(decoded.readings.map(({ atMs }) => atMs - startMs)).toEqual([0, 0, -5000]);
  });

  it('divides a total by the width of its own station', () => {
    expect(
      values(decodeOne('plant/north/conv/l1/w3/m/b', { at: iso(startMs), n: 1, speed: 60, tension: 300 })),
    ).toContain('w3/b tension both 600');
  });

  it('makes 0 of -0, which JSON could not keep', () => {
    const [reading] = decodeOne('gateway/w3/x', `{"ts":${startMs},"v":-0}`).readings;
    expect(Object.is(reading?.value, 0)).toBe(true);
    // -(2 x 0.5 - 1) g
    const turned = decodeOne(stationA, { at: iso(startMs), n: 1, speed: 0, nip: { acc: 0.5 } }).readings.at(
      -1,
    );
    expect(turned?.signal).toBe('nipAcceleration');
    expect(Object.is(turned?.value, 0)).toBe(true);
  });
});

describe('a plain message', () => {
  it('is one value, with the time of its arrival', () => {
    const decoded = decodeOne('plc/7/w3/nip/drive', ' 2.5\n');
    expect(values(decoded)).toEqual(['w3/a nipLoad drive 2500']);
    expect(decoded.readings[0]).toMatchObject({ atMs: startMs + 100, timeFromArrival: true });
  });

  it('is marked where the broker had retained it', () => {
    expect(decodeOne('plc/7/w3/nip/tending', '2.5', { retain: true }).readings[0]?.retained).toBe(true);
  });
});

describe('a topic', () => {
  it.each([
    ['that no source takes', 'plant/north/conv/l1/w3/m/a/x', 'topic-not-mapped'],
    ['with a level in capitals', 'plant/north/conv/l1/W3/m/a', 'unknown-equipment'],
    ['with a winder that is not in the plant file', 'plant/north/conv/l1/w9/m/a', 'unknown-equipment'],
    ['with a station of another winder', 'plant/north/conv/l1/w4/m/b', 'unknown-equipment'],
    [
      'with an inherited name for a winder',
      'plant/north/conv/l1/__proto__/m/constructor',
      'unknown-equipment',
    ],
    ['with an end that is none', 'plc/7/w3/nip/left', 'unknown-end'],
    ['that is empty', '', 'topic-not-mapped'],
    ['of many levels', '/'.repeat(60_000), 'topic-not-mapped'],
  ])('%s is told: %s', (_, topic, code) => {
    const decoded = decodeOne(topic, '1');
    expect(codes(decoded)).toEqual([code]);
    expect(decoded.readings).toEqual([]);
    expect(decoded.notUsed[0]?.topic.length).toBeLessThanOrEqual(300);
  });

  it('that another source takes is not reported for the first', () => {
    const both = compileSources(
      plantSchema.parse({
        ...fixture.plant,
        sources: [
          { topic: 'x/{winder}/{any}', station: 'a', payload: 'plain', signals: [{ signal: 'speed' }] },
          {
            topic: 'x/gate/speed',
            winder: 'w4',
            station: 'a',
            payload: 'plain',
            signals: [{ signal: 'speed' }],
          },
        ],
      }),
      { textDecoder },
    );
    const decoded = decodeAll([message('x/gate/speed', '3')], both).last;
    expect(values(decoded)).toEqual(['w4/a speed both 3']);
    expect(decoded.notUsed).toEqual([]);
  });
});

describe('a value that cannot be used', () => {
  const speed = (value: unknown) => decodeOne(stationA, { at: iso(startMs), n: 1, speed: value });
  const text = (json: string) => decodeOne(stationA, `{"at":"${iso(startMs)}","n":1,"speed":${json}}`);

  it.each<[string, string, string]>([
    ['null', 'value-null', '/speed is null: a number in m/min with a decimal point is needed for speed'],
    ['true', 'value-boolean', '/speed is true: a number in m/min with a decimal point is needed for speed'],
    [
      '"12,5"',
      'value-not-a-number',
      '/speed is "12,5", written with a decimal comma: a number in m/min with a decimal point is needed for speed',
    ],
    [
      '"fast"',
      'value-not-a-number',
      '/speed is "fast": a number in m/min with a decimal point is needed for speed',
    ],
    ['""', 'value-not-a-number', '/speed is "": a number in m/min with a decimal point is needed for speed'],
    [
      '"0x10"',
      'value-not-a-number',
      '/speed is "0x10": a number in m/min with a decimal point is needed for speed',
    ],
    ['"NaN"', 'value-nan', '/speed is "NaN": a number in m/min with a decimal point is needed for speed'],
    [
      '"-Infinity"',
      'value-nan',
      '/speed is "-Infinity": a number in m/min with a decimal point is needed for speed',
    ],
    [
      '1e999',
      'value-not-finite',
      '/speed is too large a number: a number in m/min with a decimal point is needed for speed',
    ],
    [
      '{"v":1}',
      'value-no-scalar',
      '/speed is an object: a number in m/min with a decimal point is needed for speed',
    ],
    [
      '[1,2]',
      'value-no-scalar',
      '/speed is a list of 2: a number in m/min with a decimal point is needed for speed',
    ],
    [
      '1e308',
      'value-impossible',
      '/speed is 1e+308 m/min, 1.667e+306 m/s: for speed, -100 to 100 m/s is possible at all',
    ],
    [
      '2400',
      'value-implausible',
      '/speed is 2400 m/min, 40 m/s: the plant file takes 0 to 35 m/s for plausible',
    ],
  ])('%s is told as %s', (json, code, sentence) => {
    const decoded = text(json);
    expect(decoded.readings).toEqual([]);
    expect(decoded.notUsed).toHaveLength(1);
    expect(decoded.notUsed[0]).toMatchObject({
      because: { code, text: sentence },
      topic: stationA,
      stationKey: 'w3/a',
      signal: 'speed',
      atMs: startMs,
      arrivedAtMs: startMs + 100,
    });
    expect(decoded.notUsed[0]?.sample).toContain('"speed":');
  });

  it.each(['12.5', '+12.5', ' 12.5 ', '1.25e1', '12.50'])(
    'is not the text %j, which is a decimal number and nothing else',
    (value) => {
      expect(values(speed(value))).toEqual([`w3/a speed both ${12.5 / 60}`]);
    },
  );

  it('does not keep the other values of its message from being used', () => {
    const decoded = decodeOne(stationA, { at: iso(startMs), n: 1, speed: null, diameter: 500 });
    expect(values(decoded)).toEqual(['w3/a diameter both 0.5']);
    expect(codes(decoded)).toEqual(['value-null']);
  });

  it.each<[unknown, string]>([
    [2, 'value-impossible'],
    [0.5, 'value-impossible'],
    ['yes', 'value-not-a-number'],
    [null, 'value-null'],
  ])('is %j for winding: %s', (winding, code) => {
    expect(codes(decodeOne(stationA, { at: iso(startMs), n: 1, speed: 1, winding }))).toEqual([code]);
  });

  it.each<[unknown, number]>([
    [true, 1],
    [false, 0],
    ['false', 0],
    [1, 1],
  ])('is not %j for winding, which stands for %j', (winding, value) => {
    expect(values(decodeOne(stationA, { at: iso(startMs), n: 1, speed: 0, winding }))).toContain(
      `w3/a winding both ${value}`,
    );
  });

  it.each<[unknown, string]>([
    ['  ', 'text-empty'],
    ['x'.repeat(65), 'text-too-long'],
    ['film\u202ea', 'text-invisible'],
    [true, 'value-not-text'],
    [1.5, 'value-not-text'],
    [['film-a'], 'value-no-scalar'],
  ])('is %j for a text: %s', (grade, code) => {
    expect(codes(decodeOne(stationA, { at: iso(startMs), n: 1, speed: 1, grade }))).toEqual([code]);
  });

  it('is not a whole number for a text: a recipe number', () => {
    expect(values(decodeOne(stationA, { at: iso(startMs), n: 1, speed: 0, grade: 42 }))).toContain(
      'w3/a grade both 42',
    );
  });
});

describe('a field that is missing', () => {
  it('is told where the plant file expects it periodically, and only there', () => {
    const decoded = decodeOne(stationA, { at: iso(startMs), n: 1, diameter: 500 });
    expect(decoded.notUsed.map(({ because }) => because.text)).toEqual([
      '/speed is missing: a number in m/min with a decimal point is needed for speed',
    ]);
  });

  it('is told once for the whole message where none of its source is there', () => {
    const decoded = decodeOne('gateway/w3/x', { ts: startMs, temperature: 20 });
    expect(decoded.notUsed.map(({ because }) => because.text)).toEqual([
      'the message holds none of the fields of its source: /v, /d/value',
    ]);
  });

  it('needs no time of its own', () => {
    expect(codes(decodeOne('gateway/w3/x', { ts: startMs, v: 3 }))).toEqual([]);
  });
});

describe('a time that cannot be used', () => {
  it('is told once for all the fields that need it', () => {
    const decoded = decodeOne(stationA, { at: '2026-11-25T04:55:15', n: 1, speed: 600, diameter: 500 });
    expect(codes(decoded)).toEqual(['time-without-offset']);
    expect(decoded.readings).toEqual([]);
  });

  it('leaves the fields with another time alone', () => {
    const decoded = decodeOne('gateway/w3/x', { ts: 'soon', v: 3, d: { ts: startMs / 1000, value: 0.3 } });
    expect(codes(decoded)).toEqual(['time-malformed']);
    expect(values(decoded)).toEqual(['w3/b diameter both 0.3']);
  });
});

describe("a source's clock", () => {
  const at = (eventMs: number, arrivedAtMs: number, topic = stationA) =>
    message(topic, { at: iso(eventMs), speed: 600, n: Math.round(arrivedAtMs / 1000) }, { arrivedAtMs });
  const second = (i: number) => startMs + i * 1000;

  it('that is 5 s ahead gives readings in line with the others, and the correction is shown', () => {
    const fast = Array.from({ length: 100 }, (_, i) => at(second(i) + 5000, second(i) + 80));
    const { all, state } = decodeAll(fast);
    all.forEach(({ readings }, i) =>
      expect(Math.abs(readings[0]!.atMs - second(i))).toBeLessThanOrEqual(100),
    );
    expect(clockOffsets(state)).toEqual([{ topic: stationA, aheadMs: 4920 }]);
  });

  it('is judged topic by topic', () => {
    const other = 'plant/north/conv/l1/w4/m/a';
    const { all, state } = decodeAll([at(second(0) + 5000, second(0)), at(second(0), second(0) + 80, other)]);
    expect(all[1]?.readings[0]?.atMs).toBe(second(0));
    expect(clockOffsets(state)).toHaveLength(1);
  });

  it('that is more than 60 s ahead gives nothing, and does not spoil the estimate', () => {
    const { all, state } = decodeAll([at(second(0) + 61_000, second(0)), at(second(1), second(1) + 80)]);
    expect(codes(all[0]!)).toEqual(['time-ahead']);
    expect(all[1]?.readings[0]?.atMs).toBe(second(1));
    expect(clockOffsets(state)).toEqual([]);
  });

  it('that jumps never leaves a reading more than 2 s ahead of its arrival', () => {
    const { all } = decodeAll([
      ...Array.from({ length: 60 }, (_, i) => at(second(i), second(i) + 80)),
      ...Array.from({ length: 60 }, (_, i) => at(second(60 + i) + 20_000, second(60 + i) + 80)),
    ]);
    for (const { readings } of all)
      expect(readings[0]!.atMs).toBeLessThanOrEqual(readings[0]!.arrivedAtMs + 2000);
  });

  it('is not judged by a retained message', () => {
    const retained = message(stationA, { at: iso(startMs + 5000), speed: 600 }, { retain: true });
    expect(clockOffsets(decodeAll([retained]).state)).toEqual([]);
  });

  it('behind the arrival is backlog: accepted as it is, in order', () => {
    const backlog = Array.from({ length: 50 }, (_, i) => at(second(i), second(3600) + i));
    const { all } = decodeAll(backlog);
    expect(all.map(({ readings }) => readings[0]?.atMs)).toEqual(backlog.map((_, i) => second(i)));
    expect(all.flatMap(codes)).toEqual([]);
  });
});

describe('numbered messages', () => {
  const numbered = (n: unknown, more?: Partial<MessageRow>, topic = stationA) =>
    message(topic, { at: iso(startMs), speed: 600, n }, more);

  it('show by a gap how many were lost', () => {
    const { all } = decodeAll([numbered(7), numbered(8), numbered(12)]);
    expect(all.map(({ lost }) => lost)).toEqual([
      [],
      [],
      [{ topic: stationA, expected: 9, got: 12, count: 3, arrivedAtMs: startMs + 100 }],
    ]);
  });

  it('are counted topic by topic, over a restart of the service', () => {
    const other = 'plant/north/conv/l1/w4/m/a';
    const { all } = decodeAll([numbered(7), numbered(100, {}, other), numbered(8), numbered(101, {}, other)]);
    expect(all.flatMap(({ lost }) => lost)).toEqual([]);
  });

  it('give their values again where they are redelivered, marked as duplicate', () => {
    const { all } = decodeAll([numbered(7), numbered(8), numbered(8, { dup: true }), numbered(9)]);
    expect(all.map(({ duplicate }) => duplicate)).toEqual([false, false, true, false]);
    expect(all[2]?.readings).toEqual(all[1]?.readings);
  });

  it('that start anew are no gap', () => {
    expect(decodeAll([numbered(70_000), numbered(0), numbered(1)]).all.flatMap(({ lost }) => lost)).toEqual(
      [],
    );
  });

  it('are not followed in retained messages', () => {
    expect(
      decodeAll([numbered(7), numbered(2, { retain: true }), numbered(8)]).all.flatMap(({ lost }) => lost),
    ).toEqual([]);
  });

  it.each([undefined, null, -1, 1.5, 'seven', 1e300])(
    'with %j for a number are told, and their values used',
    (n) => {
      const decoded = decodeAll([numbered(n)]).last;
      expect(codes(decoded)).toEqual(['sequence-malformed']);
      expect(values(decoded)).toEqual(['w3/a speed both 10']);
    },
  );

  it('without a number name the field that should hold it', () => {
    const text = (n: unknown) => decodeAll([numbered(n)]).last.notUsed[0]?.because.text;
    expect(text(undefined)).toBe("/n, the message's number, is missing: a whole number from 0 on is needed");
    expect(text(1.5)).toBe("/n, the message's number, is 1.5: a whole number from 0 on is needed");
  });

  it('may write their number as text', () => {
    expect(decodeAll([numbered('7'), numbered('9')]).last.lost[0]?.count).toBe(1);
  });
});

describe('whatever comes', () => {
  const topics = fc.oneof(
    fc.constantFrom(stationA, 'plc/7/w3/nip/drive', 'gateway/w3/x', 'plant/north/conv/l1/w9/m/a'),
    fc.string({ unit: 'binary' }),
  );
  const scalar = fc.oneof(
    fc.jsonValue({ maxDepth: 2 }),
    fc.double(),
    fc.constantFrom('1e400', 'NaN', iso(startMs), startMs, 1e308, -1e308),
  );
  const json = fc
    .dictionary(
      fc.constantFrom(
        'at',
        'n',
        'speed',
        'diameter',
        'tension',
        'nip',
        'grade',
        'winding',
        'ts',
        'v',
        'd',
        '__proto__',
      ),
      scalar,
    )
    .map((value) => new TextEncoder().encode(JSON.stringify(value)));
  const payloads = fc.oneof(fc.uint8Array({ maxLength: 300 }), json);
  const row: fc.Arbitrary<MessageRow> = fc
    .record({
      topic: topics,
      payload: payloads,
      arrivedAtMs: fc.integer({ min: startMs, max: startMs + 1e8 }),
      retain: fc.boolean(),
      dup: fc.boolean(),
    })
    .map(({ topic, payload, ...more }) => message(topic, payload, more));

  it('nothing throws; every message gives readings that are finite or reasons that are text; the state is JSON', () => {
    fc.assert(
      fc.property(fc.array(row, { maxLength: 20 }), (rows) => {
        const { all, state } = decodeAll(rows);
        for (const decoded of all) {
          expect(decoded.readings.length + decoded.notUsed.length).toBeGreaterThan(0);
          for (const { value, uncertainty, atMs } of decoded.readings) {
            expect(typeof value === 'string' || Number.isFinite(value)).toBe(true);
            expect(Number.isFinite(uncertainty) && uncertainty >= 0 && Number.isInteger(atMs)).toBe(true);
          }
          for (const { because, sample } of decoded.notUsed) {
            expect(because.text).toMatch(/^.{10,400}$/u);
            expect(sample.length).toBeLessThanOrEqual(200);
          }
          expect(JSON.parse(JSON.stringify(decoded))).toEqual(decoded);
        }
        expect(JSON.stringify(state).length).toBeLessThan(4000);
      }),
      { numRuns: 300 },
    );
  });

  it('the same rows give the same, with a fresh compilation and after a restart between any two', () => {
    fc.assert(
      fc.property(fc.array(row, { maxLength: 20 }), (rows) => {
        let state = initialDecoderState;
        const fresh = compileSources(plant, { textDecoder });
        const unbroken = rows.map((one) => {
          const decoded = decode(state, one, fresh);
          state = decoded.state;
          return decoded;
        });
        expect(decodeAll(rows).all).toEqual(unbroken);
      }),
    );
  });

  it('neither the state nor what is kept for speed grows without bound', () => {
    const sources = compileSources(plant, { textDecoder });
    const memories = topicMemories(initialDecoderState);
    for (let i = 0; i < 45_000; i += 1)
      decodeMessage(memories, message(`gateway/w3/${i}`, { ts: startMs, v: 3 }), sources);
    const { topics } = decoderState(memories);
    expect(topics).toHaveLength(20_000);
    expect(topics.at(0)?.topic).toBe('gateway/w3/25000');
    expect(topics.at(-1)?.topic).toBe('gateway/w3/44999');
    expect(sources.resolved.size).toBeLessThanOrEqual(20_000);
    const long = `gateway/w3/${'x'.repeat(60_000)}`;
    const decoded = decode(initialDecoderState, message(long, { ts: startMs, v: 3 }), sources);
    expect(decoded.readings).toHaveLength(2);
    expect(decoded.state).toBe(initialDecoderState);
  });
});

describe('a plant file that has not passed its checks', () => {
  it.each([
    [{ unit: 'kg' }, /unit of tension: a unit that converts to N\/m is needed, got kg/],
    [{ unit: 'N/m', total: true }, /unit of tension: a unit that converts to N is needed, got N\/m/],
    [{ unit: 'furlong' }, /got furlong/],
  ])('is a broken contract: %j', (mapping, expected) => {
    const broken = {
      ...plant,
      sources: [
        {
          ...plant.sources[1]!,
          signals: [{ ...plant.sources[1]!.signals[0]!, signal: 'tension' as const, ...mapping }],
        },
      ],
    };
    expect(() => compileSources(broken, { textDecoder })).toThrow(expected);
  });
});
