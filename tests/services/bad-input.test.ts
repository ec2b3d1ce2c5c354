import type { ReadingsNotUsedBody, WindersBody } from '@edge-margin/monitoring';
import type { MqttClient } from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from './support/eventually.js';
import { filmSamples, presentIndex, publishFilm } from './support/film-winder.js';
import { type ServedWinder, startServedWinder } from './support/served-winder.js';
import type { RunningService } from './support/service.js';

const drive = 'mill/film-9/a/drive';
const now = (): number => Date.now();
/** Start of the roll that runs meanwhile; what else a bad message says is as true as the good ones beside it. */
let startMs = Date.now();
const body = (changes: object): string => {
  const good = JSON.parse(filmSamples(startMs, presentIndex(startMs))[0]?.payload ?? '{}') as object;
  return JSON.stringify({ ...good, t: now(), n: 0, v: 360, ...changes });
};

/** What is wrong, the message, and the reason under which it must be counted. */
const bad: readonly (readonly [what: string, topic: string, payload: () => string | Buffer, code: string])[] =
  [
    ['malformed JSON', drive, () => '{"t": 1,', 'json-invalid'],
    ['bytes that are no text', drive, () => Buffer.from([0xff, 0xfe, 0x00, 0x80]), 'payload-not-utf8'],
    ['an empty payload', drive, () => '', 'payload-empty'],
    [
      'a payload of 256 KiB',
      drive,
      () => `{"t":1,"x":"${'a'.repeat(256 * 1024 - 100)}"}`,
      'payload-too-large',
    ],
    ['none of the mapped fields', drive, () => JSON.stringify({ t: now(), n: 0, other: 1 }), 'field-missing'],
    ['text where a number belongs', drive, () => body({ v: 'fast' }), 'value-not-a-number'],
    ['NaN as text', drive, () => body({ v: 'NaN' }), 'value-nan'],
    [
      'an infinity, as JSON cannot write it',
      drive,
      () => body({}).replace('"v":360', '"v":1e999'),
      'value-not-finite',
    ],
    ['a number beyond all reason', drive, () => body({ v: 1e308 }), 'value-impossible'],
    ['a time stamp an hour ahead', drive, () => body({ t: now() + 3_600_000 }), 'time-ahead'],
    ['a time stamp of 1970', drive, () => body({ t: 12 }), 'time-implausible'],
    ['a time that is none', drive, () => body({ t: 'yesterday' }), 'time-malformed'],
    ['a winder that is not in the plant file', 'mill/film-7/a/drive', () => body({}), 'unknown-equipment'],
    [
      'an end that is none',
      'mill/film-9/a/nip/middle',
      () => JSON.stringify({ t: now(), load: 300, peak: 1, swing: 3 }),
      'unknown-end',
    ],
  ];

describe('bad input', () => {
  let served: ServedWinder;
  let service: RunningService;
  let gateway: MqttClient;
  let going: Promise<number>;
  const over = new AbortController();

  beforeAll(async () => {
    served = await startServedWinder();
    ({ service, gateway } = served);
    startMs = Date.now();
    going = publishFilm(gateway, { startMs, from: 0, to: Infinity, inStep: true, signal: over.signal });
  });

  afterAll(async () => {
    over.abort();
    await going;
    await served.dispose();
  });

  const reasons = async (): Promise<ReadingsNotUsedBody['byReason']> =>
    (await service.json<ReadingsNotUsedBody>('/api/readings-not-used')).byReason;

  it.each(bad)('counts %s with its reason and a sample', async (_what, topic, payload, code) => {
    const before = (await reasons()).find((reason) => reason.code === code)?.count ?? 0;
    await gateway.publishAsync(topic, payload(), { qos: 1 });
    const found = await eventually(async () => {
      const all = await reasons();
      const reason = all.find((candidate) => candidate.code === code);
      if (reason !== undefined && reason.count > before) return reason;
      throw new Error(`counted so far: ${all.map((one) => one.code).join(', ')}`);
    }, code);
    expect(found.last.topic).toBe(topic);
    expect(found.last.because.text.length).toBeGreaterThan(20);
    expect(found.last.sample.length).toBeLessThanOrEqual(200);
  });

  it('takes a duplicate, another value for the same time and an order turned round without harm', async () => {
    const t = now() - 300;
    for (const v of [360, 360, 372]) await gateway.publishAsync(drive, body({ t, v }), { qos: 1 });
    await gateway.publishAsync(drive, body({ t: t - 100 }), { qos: 1 });
    const points = await eventually(async () => {
      const { series } = await service.json<{ series: { points: [number, number][] }[] }>(
        `/api/winders/film-9/series?station=a&field=reading:speed&from=${t - 100}&to=${t + 1}`,
      );
      const found = (series[0]?.points ?? []).filter(([at]) => at === t || at === t - 100);
      return found.length === 2 ? found : undefined;
    }, 'both instants stored');
    expect(points).toEqual([
      [t - 100, 6],
      [t, 6.2],
    ]);
  });

  it('does not believe a diameter that jumps back for one sample', async () => {
    const t = now();
    await gateway.publishAsync(drive, body({ t, d: 153 }), { qos: 1 });
    const roll = await eventually(async () => {
      const { winders } = await service.json<WindersBody>('/api/winders');
      const assessment = winders[0]?.stations[0]?.assessment;
      return (assessment?.atMs ?? 0) > t ? assessment?.roll : undefined;
    }, 'an assessment in which the sample has its place');
    const index = presentIndex(startMs);
    const sent = (JSON.parse(filmSamples(startMs, index)[0]?.payload ?? '{}') as { d: number }).d / 1000;
    expect(roll?.diameterM.kind).toBe('known');
    expect(Math.abs((roll?.diameterM as { value: number }).value - sent)).toBeLessThan(0.01);
  });

  it('goes on with the good signals: nothing crashed, the station is assessed', async () => {
    const { winders } = await service.json<WindersBody>('/api/winders');
    const assessment = winders[0]?.stations[0]?.assessment;
    expect(assessment?.air.marginRatio.kind).toBe('known');
    expect(Date.now() - (assessment?.atMs ?? 0)).toBeLessThan(6000);
    expect((await service.get('/health/live')).status).toBe(200);
  });
});

describe('a gateway whose clock is 5 s ahead', () => {
  it('gives readings in line with the others', async () => {
    const { service, gateway, dispose } = await startServedWinder();
    const startMs = Date.now();
    for (let index = 0; index < 100; index += 1) {
      const wait = startMs + index * 200 - Date.now();
      if (wait > 0) await new Promise((resolve) => setTimeout(resolve, wait));
      for (const { topic, payload } of filmSamples(startMs, index)) {
        const ahead = topic.endsWith('/drive') ? 0 : 5000;
        const message = JSON.parse(payload) as { t: number };
        await gateway.publishAsync(topic, JSON.stringify({ ...message, t: message.t + ahead }), { qos: 1 });
      }
    }
    const { winders } = await service.json<WindersBody>('/api/winders');
    const assessment = winders[0]?.stations[0]?.assessment;
    const notUsed = await service.json<ReadingsNotUsedBody>('/api/readings-not-used');
    await dispose();
    expect(assessment?.air.marginRatio.kind).toBe('known');
    expect(assessment?.nip.inHandRatio.kind).toBe('known');
    const tooLate = notUsed.byReason.find(({ code }) => code === 'too-late')?.count ?? 0;
    // At most the first seconds, until the clock's lead is known.
    expect(tooLate).toBeLessThan(60);
  });
});
