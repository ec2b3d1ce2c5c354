import type { AlarmsBody, AlarmJournalBody, WindersBody } from '@edge-margin/monitoring';
import mqtt, { type MqttClient } from 'mqtt';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startChromium } from './support/chromium.js';
import { eventually } from './support/eventually.js';
import { presentIndex, publishFilm } from './support/film-winder.js';
import { type Influx, startInflux } from './support/influx.js';
import { firstAdministrator } from './support/first-administrator.js';
import type { Mosquitto } from './support/mosquitto.js';
import { makePerson } from './support/people.js';
import { type ServedWinder, startServedWinder } from './support/served-winder.js';
import type { RunningService } from './support/service.js';

interface InfluxAnswer {
  readonly results: readonly {
    readonly series?: readonly {
      readonly columns: readonly string[];
      readonly values: readonly (readonly unknown[])[];
    }[];
  }[];
}

describe('one thin line, from a real broker to a warned operator', () => {
  let served: ServedWinder;
  let broker: Mosquitto;
  let influx: Influx;
  let service: RunningService;
  let gateway: MqttClient;
  let browser: Browser;
  let published = 0;
  let startMs = 0;
  const onMqtt = new Map<string, string>();

  beforeAll(async () => {
    [influx, browser] = await Promise.all([startInflux(), startChromium()]);
    served = await startServedWinder({ INFLUX_URL: influx.url, INFLUX_DATABASE: 'thin_line' });
    ({ broker, service, gateway } = served);
    const administrator = await firstAdministrator(service);
    await makePerson(service, administrator, {
      name: 'Rosa (shift B)',
      role: 'operator',
      password: 'the winder hums at six',
    });
    gateway.on('message', (topic, payload) => onMqtt.set(topic, payload.toString()));
    await gateway.subscribeAsync('edge-margin/#', { qos: 1 });
    // The last 40 s of a roll at once, then on in step with the clock.
    startMs = Date.now() - 40_000;
    published += await publishFilm(gateway, { startMs, from: 0, to: presentIndex(startMs) });
    const now = presentIndex(startMs);
    published += await publishFilm(gateway, { startMs, from: published / 3, to: now + 40, inStep: true });
  });

  afterAll(async () => {
    await browser.close();
    await served.dispose();
    await influx.dispose();
  });

  const ask = async (query: string): Promise<readonly (readonly unknown[])[]> => {
    const answer = (await (
      await fetch(`${influx.url}/query?db=thin_line&epoch=ms&q=${encodeURIComponent(query)}`)
    ).json()) as InfluxAnswer;
    return answer.results[0]?.series?.[0]?.values ?? [];
  };

  it('uses every reading that was published', async () => {
    const notUsed = await service.json<{ total: number; byReason: { code: string }[] }>(
      '/api/readings-not-used',
    );
    expect(notUsed.byReason).toEqual([]);
  });

  it('has every reading in InfluxDB, to be read back with InfluxQL', async () => {
    const samples = published / 3;
    await eventually(
      async () => ((await ask('SELECT count(speed) FROM reading'))[0]?.[1] === samples ? true : undefined),
      `${samples} speeds in InfluxDB`,
    );
    expect((await ask('SELECT count(diameter) FROM reading'))[0]?.[1]).toBe(samples);
    expect((await ask(`SELECT count(nipLoad) FROM reading WHERE "end" = 'drive'`))[0]?.[1]).toBe(samples);
    const [first] = await ask('SELECT first(speed), diameter FROM reading');
    expect(first?.[0]).toBe(startMs);
    expect(first?.[2]).toBeCloseTo(0.152, 6);
  });

  it('raises the alarm before the process reaches the boundary', async () => {
    const journal = await service.json<AlarmJournalBody>('/api/alarms/journal');
    const raised = journal.transitions.find(
      ({ kind, alarm }) => kind === 'raise' && alarm.mechanism === 'air',
    );
    expect(raised?.alarm.stage).toBe('foreseen');
    const [reached] = await ask(
      'SELECT first(airRisk) FROM (SELECT airRisk FROM assessment WHERE airRisk >= 0.5)',
    );
    const reachedAtMs = Number(reached?.[0]);
    expect(reachedAtMs).toBeGreaterThan(startMs + 20_000);
    expect(raised?.atMs).toBeLessThan(reachedAtMs - 10_000);
  });

  it('foresees the diameter of the boundary within 3 % long before it is there', async () => {
    const rows = await ask('SELECT boundaryEarliestDiameterM FROM assessment');
    const atReached = await ask('SELECT first(airRisk), diameterM FROM assessment WHERE airRisk >= 0.1');
    const early = Number(rows[8]?.[1]);
    // One crossing in ten comes before the earliest diameter: there the risk is 10 %.
    expect(early / Number(atReached[0]?.[2])).toBeGreaterThan(0.97);
    expect(early / Number(atReached[0]?.[2])).toBeLessThan(1.03);
  });

  it('publishes the alarm and the assessment on MQTT, retained, with its own status', async () => {
    const alarm = JSON.parse(
      onMqtt.get('edge-margin/testsite/film/line-1/film-9/a/alarm/film-9.a.air') ?? '{}',
    );
    expect(alarm).toMatchObject({
      alarmKey: 'film-9.a.air',
      mechanism: 'air',
      priority: 'high',
      stage: 'reached',
      state: 'UNACK',
    });
    const late = await mqtt.connectAsync(broker.url);
    const retained = new Set<string>();
    late.on('message', (topic, _payload, packet) => packet.retain && retained.add(topic));
    await late.subscribeAsync('edge-margin/#');
    await eventually(() => (retained.size >= 3 ? true : undefined), 'retained messages');
    await late.endAsync();
    expect([...retained]).toEqual(
      expect.arrayContaining([
        'edge-margin/testsite/status',
        'edge-margin/testsite/film/line-1/film-9/a/assessment',
        'edge-margin/testsite/film/line-1/film-9/a/alarm/film-9.a.air',
      ]),
    );
  });

  it('shows the operator state, change and alarm, and takes the acknowledgement', async () => {
    const now = presentIndex(startMs);
    const over = new AbortController();
    const going = publishFilm(gateway, {
      startMs,
      from: now,
      to: now + 600,
      inStep: true,
      signal: over.signal,
    });
    const page = await browser.newPage({ viewport: { width: 1920, height: 1080 } });
    const errors: string[] = [];
    page.on('console', (message) => message.type() === 'error' && errors.push(message.text()));
    await page.goto(`${service.url}/winders/film-9/a`);
    await page.getByText('wraps free to move', { exact: false }).first().waitFor();
    const state = await page.locator('body').innerText();
    expect(state.toUpperCase()).toContain('WRAPS FREE TO MOVE NOW');
    expect(state).toMatch(/speed/i);
    await page
      .getByRole('button', { name: /acknowledge/i })
      .first()
      .click();
    await page.getByRole('radio', { name: 'Rosa (shift B)' }).check();
    await page.getByLabel('PIN or password').fill('the winder hums at six');
    await page.keyboard.press('Enter');
    const acknowledged = await eventually(async () => {
      const { alarms } = await service.json<AlarmsBody>('/api/alarms');
      return alarms.find((alarm) => alarm.alarmKey === 'film-9.a.air' && alarm.state === 'ACKED');
    }, 'the alarm is acknowledged');
    expect(acknowledged.acknowledged?.actor).toBe('Rosa (shift B)');
    expect(errors).toEqual([]);
    await page.close();
    over.abort();
    await going;
  });

  it('carries model and configuration revision, roll, length and wraps with the assessments', async () => {
    const { winders } = await service.json<WindersBody>('/api/winders');
    const assessment = winders[0]?.stations[0]?.assessment;
    expect(assessment?.roll?.woundLengthM).toMatchObject({ kind: 'known' });
    const [row] = await ask('SELECT last(rollId), modelRevision, configurationRevision FROM assessment');
    expect(row?.slice(1)).toEqual([
      assessment?.roll?.rollId,
      assessment?.modelRevision,
      assessment?.configurationRevision,
    ]);
    expect(Number((await ask('SELECT last(wrapCount) FROM assessment'))[0]?.[1])).toBeGreaterThan(100);
  });
});
