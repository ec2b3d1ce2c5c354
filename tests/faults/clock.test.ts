import type { AlarmView } from '@edge-margin/alarms';
import type { AlarmsBody, SeriesBody, WindersBody } from '@edge-margin/monitoring';
import { openStore } from '@edge-margin/store-sqlite';
import mqtt, { type MqttClient } from 'mqtt';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from '../services/support/eventually.js';
import { filmPlant } from '../services/support/film-winder.js';
import { type Mosquitto, startMosquitto } from '../services/support/mosquitto.js';
import { dataDirectory, type RunningService, startService } from '../services/support/service.js';

const preload = fileURLToPath(new URL('support/shifted-clock.mjs', import.meta.url));
const hourMs = 3_600_000;
const yearMs = 365 * 24 * hourMs;
const periodMs = 200;

describe('a clock that is set by an hour while the service runs', () => {
  const folder = dataDirectory();
  const data = join(folder.path, 'data');
  const shiftFile = join(folder.path, 'shift');
  let broker: Mosquitto;
  let gateway: MqttClient;
  let service: RunningService;
  let publishing = true;
  let going: Promise<void>;
  let gatewayShiftMs = 0;
  let serviceShiftMs = 0;
  let environment: Parameters<typeof startService>[0];
  const startedAtMs = Date.now();
  let speedsToMs = 0;

  /** A winder at an easy speed, its diameter growing a little with every message. */
  const publishOn = async (): Promise<void> => {
    for (let n = 0; publishing; n += 1) {
      const t = Date.now() + gatewayShiftMs;
      const drive = { t, n, v: 180, d: 160 + n * 0.01, f: 120, on: 1 };
      gateway.publish('mill/film-9/a/drive', JSON.stringify(drive), { qos: 1 });
      for (const end of ['tending', 'drive'])
        gateway.publish(`mill/film-9/a/nip/${end}`, JSON.stringify({ t, load: 300, peak: 1.2, swing: 3 }), {
          qos: 1,
        });
      await new Promise((resolve) => setTimeout(resolve, periodMs));
    }
  };
  const setServiceClock = (shiftMs: number): void => {
    serviceShiftMs = shiftMs;
    writeFileSync(shiftFile, String(shiftMs));
    process.kill(Number(readFileSync(join(data, 'lock.pid'), 'utf8')), 'SIGUSR2');
  };
  const assessment = async () =>
    (await service.json<WindersBody>('/api/winders')).winders[0]?.stations[0]?.assessment ?? undefined;
  const signalAlarm = async (): Promise<AlarmView | undefined> =>
    (await service.json<AlarmsBody>('/api/alarms')).alarms.find(
      ({ alarmKey }) => alarmKey === 'film-9.a.signal',
    );
  /** Speeds as they were measured in true time, before anything below began: what housekeeping could let go of. */
  const speeds = async (): Promise<readonly unknown[]> => {
    const asked = `station=a&field=reading:speed&from=${startedAtMs - 60_000}&to=${speedsToMs}&maxPoints=10000`;
    const { series } = await service.json<SeriesBody>(`/api/winders/film-9/series?${asked}`);
    expect(series[0]).toMatchObject({ resolution: 'raw', thinned: false });
    return series[0]!.points;
  };
  /** Housekeeping, every 20 s, has said so. */
  const heldBack = async (words: string): Promise<void> => {
    await eventually(async () => (service.output().includes(words) ? true : undefined), words, 60_000);
    // And has gone round once more since.
    await new Promise((resolve) => setTimeout(resolve, 25_000));
  };
  /** The station is watched, as of now by the service's own clock. */
  const watchedNow = (what: string) =>
    eventually(
      async () => {
        const now = await assessment();
        const ageMs = Date.now() + serviceShiftMs - (now?.atMs ?? 0);
        return now !== undefined && now.state.word !== 'not-watched' && Math.abs(ageMs) < 15_000
          ? now
          : undefined;
      },
      what,
      90_000,
    );

  beforeAll(async () => {
    writeFileSync(shiftFile, '0');
    const plantFile = join(folder.path, 'plant.yaml');
    writeFileSync(plantFile, filmPlant);
    broker = await startMosquitto();
    environment = {
      DATA_DIR: data,
      PLANT_FILE: plantFile,
      MQTT_URL: broker.url,
      CLOCK_SHIFT_FILE: shiftFile,
      NODE_OPTIONS: `--import=${preload}`,
    };
    service = await startService(environment);
    gateway = await mqtt.connectAsync(broker.url, { clientId: 'gateway' });
    going = publishOn();
    await watchedNow('watched');
  });

  afterAll(async () => {
    publishing = false;
    await going;
    await gateway.endAsync(true);
    await broker.dispose();
    folder.remove();
  });

  it('back, with that of the gateways: the winder goes on being watched, and the hour that comes twice is recorded', async () => {
    gatewayShiftMs = -hourMs;
    setServiceClock(-hourMs);
    await watchedNow('watched an hour earlier');
  });

  it('forward, alone: readings count as too late, the winder is shown as not watched and an alarm says why', async () => {
    setServiceClock(0);
    const alarm = await eventually(
      async () => {
        const found = await signalAlarm();
        return (await assessment())?.state.word === 'not-watched' && found?.state === 'UNACK'
          ? found
          : undefined;
      },
      'not watched',
      90_000,
    );
    expect(alarm.because.text).toMatch(/no fresh readings/);
  });

  it('and right again: the winder is watched at once, not after the hour, and the alarm has cleared', async () => {
    gatewayShiftMs = 0;
    await watchedNow('watched again');
    setServiceClock(hourMs);
    gatewayShiftMs = hourMs;
    await watchedNow('watched an hour later');
    setServiceClock(0);
    gatewayShiftMs = 0;
    await watchedNow('watched in true time');
    await eventually(
      async () => ((await signalAlarm())?.state === 'RTNUN' ? true : undefined),
      'cleared',
      60_000,
    );
  });

  it('back, alone: what the gateways say is ahead of time and not used, which is shown, until it is put right', async () => {
    setServiceClock(-hourMs);
    await eventually(
      async () => ((await assessment())?.state.word === 'not-watched' ? true : undefined),
      'not watched',
      90_000,
    );
    const { byReason } = await service.json<{ byReason: { code: string }[] }>('/api/readings-not-used');
    expect(byReason.map(({ code }) => code)).toContain('time-ahead');
    setServiceClock(0);
    await watchedNow('watched again');
  });

  it('a year ahead, alone: housekeeping says so in its own words and lets go of nothing, through a restart too', async () => {
    speedsToMs = Date.now() - 5_000;
    const before = await speeds();
    expect(before.length).toBeGreaterThan(20);
    setServiceClock(yearMs);
    await heldBack('"code":"clock-ahead"');
    expect(await speeds()).toEqual(before);
    expect(service.output()).not.toMatch(/"level":[56]0/);
    // Somebody starts it again in the hope that it helps: what came in last bears the wrong time by now.
    expect(await service.stop()).toBe(0);
    service = await startService(environment);
    await heldBack('"code":"clock-ahead"');
    expect(await speeds()).toEqual(before);
    setServiceClock(0);
    await heldBack('ages are measured by this machine’s clock again');
    await watchedNow('watched after a year ahead');
    expect(await speeds()).toEqual(before);
  });

  it('leaves a service that stops in good order and has recorded every hour that came twice', async () => {
    expect(service.output()).not.toMatch(/"level":[56]0/);
    expect(await service.stop()).toBe(0);
    const store = openStore(join(data, 'store.sqlite'));
    const gaps = store.gaps.query({ limit: 100 }).filter(({ because }) => because.code === 'clock-set-back');
    store.close();
    // Back with the gateways, true time after the hour ahead, and back alone; and back from the year ahead.
    const lengthsMs = gaps.map(({ fromMs, toMs }) => toMs - fromMs).sort((a, b) => a - b);
    expect(lengthsMs).toHaveLength(4);
    for (const lengthMs of lengthsMs.slice(0, 3)) expect(Math.abs(lengthMs - hourMs)).toBeLessThan(120_000);
    expect(Math.abs((lengthsMs[3] ?? 0) - yearMs)).toBeLessThan(300_000);
  });
});
