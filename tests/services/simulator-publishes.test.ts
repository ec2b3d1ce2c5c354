import mqtt, { type MqttClient } from 'mqtt';
import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from './support/eventually.js';
import { type Mosquitto, startMosquitto } from './support/mosquitto.js';

interface Published {
  readonly topic: string;
  readonly payload: string;
  readonly retain: boolean;
}

/** The simulator's own command line, from its sources, against a real broker. */
describe('the simulator, publishing over a real broker', () => {
  const hooks = new URL('./series-typescript-hooks.mjs', import.meta.url).href;
  const register = `data:text/javascript,import{register}from"node:module";register(${JSON.stringify(hooks)})`;
  const main = fileURLToPath(new URL('../../apps/simulator/src/main.ts', import.meta.url));
  const seen: Published[] = [];
  let broker: Mosquitto;
  let client: MqttClient;

  beforeAll(async () => {
    broker = await startMosquitto();
    client = await mqtt.connectAsync(broker.url, { clientId: 'listener' });
    client.on('message', (topic, payload, { retain }) =>
      seen.push({ topic, payload: payload.toString(), retain }),
    );
    await client.subscribeAsync('demo/#', { qos: 1 });
  });

  afterAll(async () => {
    await client.endAsync();
    await broker.dispose();
  });

  function simulate(
    args: readonly string[],
  ): Promise<{ readonly code: number | null; readonly said: string }> {
    return new Promise((done) => {
      const child = spawn(process.execPath, ['--conditions=source', '--import', register, main, ...args]);
      let said = '';
      child.stderr.on('data', (chunk: Buffer) => (said += chunk.toString()));
      child.on('close', (code) => done({ code, said }));
    });
  }

  it('sends a family of scenarios fifty times as fast as it happens, every message once and in order', async () => {
    const began = Date.now();
    const { code, said } = await simulate(
      `--scenario film-wander.yaml --seed 7 --speed-up 50 --duration 60 --start 2026-01-05T06:00:00Z --mqtt ${broker.url}`.split(
        ' ',
      ),
    );
    const tookMs = Date.now() - began;
    expect(said).toContain('everything is simulated');
    expect(code).toBe(0);
    const [, published, lost] = (/(\d+) messages published, (\d+) lost/.exec(said) ?? []).map(Number);
    expect(lost).toBe(0);
    await eventually(() => (seen.length === published ? true : undefined), 'all messages have come');
    const drives = seen.filter(({ topic }) => topic === 'demo/lakeside/film-1/a/drive');
    // 60 s at five messages a second; the last ones may still be under way in the gateway when the run ends.
    expect(drives.length).toBeGreaterThanOrEqual(290);
    const numbers = drives.map(({ payload }) => (JSON.parse(payload) as { n: number }).n);
    expect(numbers).toEqual(numbers.map((_, i) => i + (numbers[0] ?? 0)));
    // 60 s at fifty times the speed take 1.2 s: never faster than asked for.
    expect(tookMs).toBeGreaterThan(1200);
    expect(seen.filter(({ topic }) => topic.includes('/nip/')).length).toBeGreaterThanOrEqual(2 * 290);
  });

  it('keeps the set end with the broker, for those who come later', async () => {
    const late = await mqtt.connectAsync(broker.url, { clientId: 'late' });
    const kept: Published[] = [];
    late.on('message', (topic, payload, { retain }) =>
      kept.push({ topic, payload: payload.toString(), retain }),
    );
    await late.subscribeAsync('demo/#', { qos: 1 });
    await eventually(async () => (kept.length > 0 ? true : undefined), 'the retained set end has come');
    expect(kept).toEqual([{ topic: 'demo/lakeside/film-1/a/set-end', payload: '270', retain: true }]);
    await late.endAsync();
  });

  it('says what is wrong with a scenario on one line each, and sends nothing', async () => {
    const before = seen.length;
    const { code, said } = await simulate(['--scenario', 'no-such.yaml', '--mqtt', broker.url]);
    expect(code).toBe(2);
    expect(said).toMatch(/^--scenario: no file "no-such.yaml"/);
    expect(seen.length).toBe(before);
  });
});
