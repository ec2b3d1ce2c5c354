import type { AlarmTransition } from '@edge-margin/alarms';
import { openJournal } from '@edge-margin/journal';
import {
  type AlarmsBody,
  type Effect,
  foldRow,
  type MonitorDependencies,
  restoreMonitor,
  savedStates,
} from '@edge-margin/monitoring';
import { openStore } from '@edge-margin/store-sqlite';
import mqtt, { type MqttClient } from 'mqtt';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from '../services/support/eventually.js';
import { filmPlant, filmSpeed } from '../services/support/film-winder.js';
import { type Mosquitto, startMosquitto } from '../services/support/mosquitto.js';
import { acknowledgingMachine } from '../services/support/people.js';
import { dataDirectory, readyOf, type RunningService, startService } from '../services/support/service.js';
import { seededRandom } from './support/seeded-random.js';

/** `KILLS=50` kills it more often; 20 times take a minute or two. */
const rounds = Number(process.env['KILLS'] ?? 20);
const periodMs = 25;
/** A busy machine may take half a minute for one start. */
const patienceMs = 120_000;

const textDecoder = new TextDecoder('utf-8', { fatal: true });
const dependencies: MonitorDependencies = { textDecoder: (bytes) => textDecoder.decode(bytes) };

interface Replayed {
  readonly transitions: readonly AlarmTransition[];
  readonly samples: number;
  readonly states: string;
}

describe(`the service killed ${rounds} times at random moments under load`, () => {
  const data = dataDirectory();
  const directory = join(data.path, 'data');
  const plantFile = join(data.path, 'plant.yaml');
  const acknowledged = new Set<string>();
  let broker: Mosquitto;
  let gateway: MqttClient;
  let service: RunningService | undefined;
  let publishing = true;
  const published = new Map<number, number>();
  let acknowledgedByBroker = 0;
  let swing = 3;
  /** Status of the last answer to an acknowledgement. */
  let lastAnswer = 0;
  let machine: Readonly<Record<string, string>> = {};

  const start = async (): Promise<RunningService> =>
    startService({ DATA_DIR: directory, PLANT_FILE: plantFile, MQTT_URL: broker.url, LOG_LEVEL: 'warn' });

  const publishOn = async (): Promise<void> => {
    let n = 0;
    const send = (topic: string, body: object): void => {
      gateway.publish(topic, JSON.stringify(body), { qos: 1 }, (error) => {
        if (error === undefined || error === null) acknowledgedByBroker += 1;
      });
    };
    while (publishing) {
      const t = Date.now();
      if (!published.has(t)) {
        const speed = 300 + (n % 50);
        published.set(t, speed);
        // Five seconds in ten the nip swings beyond its limit: alarms come and go all the time.
        swing = Math.floor(t / 1000) % 10 < 5 ? 60 : 3;
        send('mill/film-9/a/drive', { t, n, v: speed, d: 160, f: 120, on: 1 });
        for (const end of ['tending', 'drive'])
          send(`mill/film-9/a/nip/${end}`, { t, load: 300, peak: 1.2, swing });
        n += 1;
      }
      await new Promise((resolve) => setTimeout(resolve, periodMs));
    }
  };

  /** A person who acknowledges whatever is open, whenever the service answers. */
  const acknowledgeOn = async (): Promise<void> => {
    while (publishing) {
      await new Promise((resolve) => setTimeout(resolve, 100));
      try {
        const { alarms } = (await service?.json<AlarmsBody>('/api/alarms')) ?? { alarms: [] };
        for (const { alarmKey, occurrenceId, state } of alarms) {
          if (state !== 'UNACK' && state !== 'RTNUN') continue;
          const answer = await service?.post(
            `/api/alarms/${alarmKey}/acknowledge`,
            { occurrenceId },
            machine,
          );
          lastAnswer = answer?.status ?? 0;
          if (lastAnswer === 200) acknowledged.add(occurrenceId);
        }
      } catch {
        // Killed while asked: nobody was told that it worked.
      }
    }
  };

  beforeAll(
    async () => {
      broker = await startMosquitto();
      writeFileSync(plantFile, `${filmPlant}  nipBounce: { onDelayS: 1, offDelayS: 1 }\n`);
      gateway = await mqtt.connectAsync(broker.url, { clientId: 'gateway' });
      service = await start();
      machine = await acknowledgingMachine(service, 'Nils');
      await readyOf(service);
      const running = [publishOn(), acknowledgeOn()];
      const random = seededRandom(11);
      for (let round = 0; round < rounds; round += 1) {
        // On a busy machine a kill may always come before the answer: now and then it waits for one.
        const answeredBefore = acknowledged.size;
        if (round % 5 === 0)
          await eventually(
            () => {
              if (acknowledged.size > answeredBefore) return true;
              throw new Error(`the last answer was ${lastAnswer}`);
            },
            'an acknowledgement is answered',
            patienceMs,
          );
        await new Promise((resolve) => setTimeout(resolve, 300 + random() * 2500));
        await service.kill();
        service = await start();
      }
      await new Promise((resolve) => setTimeout(resolve, 3000));
      publishing = false;
      await Promise.all(running);
      await eventually(
        () => (acknowledgedByBroker === published.size * 3 ? true : undefined),
        'the broker has everything',
        patienceMs,
      );
      // Everything is in when the last reading is.
      const last = Math.max(...published.keys());
      await eventually(
        async () => {
          const body = await service?.json<{ series: { points: [number, number][] }[] }>(
            `/api/winders/film-9/series?station=a&field=reading:speed&from=${last}&to=${last + 1}`,
          );
          return body?.series[0]?.points.length === 1 ? true : undefined;
        },
        'the last reading is stored',
        patienceMs,
      );
      await service.stop();
    },
    patienceMs + rounds * 30_000,
  );

  afterAll(async () => {
    await gateway.endAsync(true);
    await broker.dispose();
    data.remove();
  });

  it('has stored every reading exactly once', () => {
    const store = openStore(join(directory, 'store.sqlite'));
    const { points, thinned } = store.series.query({
      id: filmSpeed,
      fromMs: 0,
      toMs: 1e13,
      maxPoints: 1_000_000,
    });
    store.close();
    expect(thinned).toBe(false);
    const expected = [...published]
      .map(([t, speed]) => [t, speed / 60])
      .sort((a, b) => (a[0] ?? 0) - (b[0] ?? 0));
    expect(points.length).toBe(expected.length);
    expect(points.map(([t]) => t)).toEqual(expected.map(([t]) => t));
    points.forEach(([, value], index) => expect(value).toBeCloseTo(expected[index]?.[1] ?? NaN, 9));
    expect(expected.length).toBeGreaterThan(1000);
  });

  it('has journaled every alarm transition exactly once, each beginning where the last one ended', () => {
    const store = openStore(join(directory, 'store.sqlite'));
    const transitions = [...store.alarms.transitions({ limit: 100_000 })].reverse();
    expect(new Set(transitions.map(({ id }) => id)).size).toBe(transitions.length);
    // In the order of the journal: an acknowledgement has its arrival for its time, a clearing the time of its reading, which may be earlier.
    const occurrences = new Set(
      transitions
        .filter(({ alarm }) => alarm.alarmKey === 'film-9.a.nip')
        .map(({ alarm }) => alarm.occurrenceId),
    );
    const nip = [...occurrences]
      .map((occurrenceId) => store.alarms.ofOccurrence(occurrenceId))
      .sort((one, other) => (one[0]?.atMs ?? 0) - (other[0]?.atMs ?? 0))
      .flat();
    store.close();
    expect(nip.filter(({ kind }) => kind === 'raise').length).toBeGreaterThan(3);
    nip.forEach((transition, index) => {
      const before = nip[index - 1];
      if (before !== undefined) expect(transition.from, transition.id).toBe(before.to);
    });
  });

  it('has every acknowledgement that was answered, exactly once', () => {
    const store = openStore(join(directory, 'store.sqlite'));
    const transitions = store.alarms.transitions({ limit: 100_000 });
    store.close();
    expect(acknowledged.size).toBeGreaterThan(2);
    for (const occurrenceId of acknowledged) {
      const acks = transitions.filter(
        ({ kind, alarm }) => kind === 'acknowledge' && alarm.occurrenceId === occurrenceId,
      );
      expect(acks.length, occurrenceId).toBeGreaterThanOrEqual(1);
      // Once more only where the alarm was annunciated anew in between.
      const anew = transitions.filter(
        ({ kind, alarm }) => kind === 'escalate' && alarm.occurrenceId === occurrenceId,
      ).length;
      expect(acks.length, occurrenceId).toBeLessThanOrEqual(1 + anew);
    }
  });

  it('gives bit-equal results when the journal is folded again, and the same ones that were stored', async () => {
    const journal = await openJournal({ directory: join(directory, 'journal') });
    const replay = (): Replayed => {
      let monitor = restoreMonitor(new Map(), dependencies);
      const effects: Effect[] = [];
      const touched = new Set<string>();
      for (let from = 1; from <= journal.durable();) {
        const rows = journal.read(from, 2000);
        for (const row of rows) {
          const fold = foldRow(monitor, row, dependencies);
          monitor = fold.monitor;
          effects.push(...fold.effects);
          for (const key of fold.touched) touched.add(key);
        }
        from += rows.length;
      }
      return {
        transitions: effects.flatMap((effect) =>
          effect.kind === 'alarm-transition' ? [effect.transition] : [],
        ),
        samples: effects.reduce(
          (sum, effect) => sum + (effect.kind === 'samples' ? effect.samples.length : 0),
          0,
        ),
        states: JSON.stringify(savedStates(monitor, touched)),
      };
    };
    const [first, second] = [replay(), replay()];
    const end = journal.durable();
    await journal.close();
    expect(second).toEqual(first);
    const store = openStore(join(directory, 'store.sqlite'));
    const stored = store.alarms.transitions({ limit: 100_000 }).map((transition) => {
      // Where it stands in the journal is added by the shell and is no part of what is folded.
      const { row, ...folded } = transition;
      expect(row?.position, transition.id).toBeLessThanOrEqual(end);
      return folded;
    });
    expect(store.readPosition()).toBe(end);
    store.close();
    const byId = (a: AlarmTransition, b: AlarmTransition): number => (a.id < b.id ? -1 : 1);
    expect(stored.sort(byId)).toEqual([...first.transitions].sort(byId));
    expect(first.samples).toBeGreaterThan(published.size * 8);
  });
});
