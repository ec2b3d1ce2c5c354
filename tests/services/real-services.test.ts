import { describe, expect, it } from 'vitest';
import mqtt from 'mqtt';
import { startInflux } from './support/influx.js';
import { startMosquitto } from './support/mosquitto.js';

describe('the real services of the tests', () => {
  it('keep the queued messages of a session over an orderly restart of the broker', async () => {
    const broker = await startMosquitto();
    const options = {
      clientId: 'listener',
      clean: false,
      protocolVersion: 5,
      properties: { sessionExpiryInterval: 600 },
    } as const;
    const listener = await mqtt.connectAsync(broker.url, options);
    await listener.subscribeAsync('t', { qos: 1 });
    await listener.endAsync();
    const publisher = await mqtt.connectAsync(broker.url);
    await publisher.publishAsync('t', 'kept', { qos: 1 });
    await publisher.endAsync();
    await broker.stop();
    await broker.start();
    const again = mqtt.connect(broker.url, options);
    const message = await new Promise<string>((resolve) =>
      again.once('message', (_topic, payload) => resolve(payload.toString())),
    );
    await again.endAsync();
    await broker.dispose();
    expect(message).toBe('kept');
  });

  it('keep what was written over a restart of the database', async () => {
    const influx = await startInflux();
    const ask = async (path: string, body?: string): Promise<Response> =>
      fetch(`${influx.url}/${path}`, { method: 'POST', ...(body === undefined ? {} : { body }) });
    await ask(`query?q=${encodeURIComponent('CREATE DATABASE t')}`);
    expect((await ask('write?db=t', 'm v=1 1')).status).toBe(204);
    await influx.stop();
    await influx.start();
    const answer = await (await ask(`query?db=t&q=${encodeURIComponent('SELECT v FROM m')}`)).json();
    await influx.dispose();
    expect(answer.results[0].series[0].values).toEqual([['1970-01-01T00:00:00.000000001Z', 1]]);
  });
});
