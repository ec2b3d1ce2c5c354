import { readPlant } from '@edge-margin/plant';
import { subscriptions } from '@edge-margin/telemetry';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { sourceChannels } from './source-channels.js';

const plantOf = (text: string) => {
  const read = readPlant(text);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.plant;
};
const deployed = (name: string) =>
  plantOf(readFileSync(new URL(`../../../../deploy/${name}`, import.meta.url), 'utf8'));

describe('the channels of a plant file', () => {
  it.each(['plant.example.yaml', 'plant.demo.yaml'])('name every filter that is subscribed: %s', (name) => {
    const plant = deployed(name);
    const channels = sourceChannels(plant);
    expect(new Set(channels.map(({ filter }) => filter))).toEqual(new Set(subscriptions(plant)));
    for (const { address, parameters } of channels) {
      expect(address).not.toMatch(/[+#]/);
      const named = [...address.matchAll(/\{(\w+)\}/g)].map(([, parameter]) => parameter);
      expect(new Set(named).size).toBe(named.length);
      expect(Object.keys(parameters).sort()).toEqual(named.sort());
    }
  });

  it('name the wider filter where one was made of two, and each level that the topic leaves open', () => {
    const plant = deployed('plant.demo.yaml');
    const [source] = plant.sources;
    const channels = sourceChannels({
      ...plant,
      sources: [
        { ...source!, topic: 'mill/{any}/{winder}/{station}/{any}' },
        { ...source!, topic: 'mill/pm2/{winder}/{station}/#' },
      ],
    });
    expect(channels.map(({ address, filter }) => [address, filter])).toEqual([
      ['mill/{any1}/{winder}/{station}/{any2}', 'mill/+/+/+/#'],
      ['mill/pm2/{winder}/{station}/{rest}', 'mill/+/+/+/#'],
    ]);
  });

  it('say where each signal stands in the payload', () => {
    const [drive, , setEnd] = sourceChannels(deployed('plant.demo.yaml'));
    expect(drive?.payload).toMatchObject({
      type: 'object',
      properties: {
        speed: { description: 'speed, m/min' },
        tension: { description: 'tension, N, over the whole web width' },
        n: { description: expect.stringContaining('gaps') },
        t: { description: 'Time of the measurement, epoch-ms' },
      },
    });
    expect(setEnd).toMatchObject({
      contentType: 'text/plain',
      payload: { description: 'setEndDiameter, mm' },
    });
  });
});
