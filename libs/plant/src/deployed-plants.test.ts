import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readPlant } from './read-plant.js';
import { signalNames } from './signal-kinds.js';
import { stationIndex } from './station-index.js';

const reading = (name: string) =>
  readPlant(readFileSync(new URL(`../../../deploy/${name}`, import.meta.url), 'utf8'));

describe('the plant files that come with the service', () => {
  it.each(['plant.example.yaml', 'plant.demo.yaml'])('%s has no problems and no warnings', (name) => {
    const { ok, warnings, ...rest } = reading(name);
    expect('problems' in rest ? rest.problems : []).toEqual([]);
    expect(warnings).toEqual([]);
    expect(ok).toBe(true);
  });

  it('the demonstration plant has three simulated stations whose people are called', () => {
    const demo = reading('plant.demo.yaml');
    if (!demo.ok) throw new Error('the demonstration plant has problems');
    const stations = [...stationIndex(demo.plant).values()];
    expect(stations.map(({ stationKey, webWidthM }) => [stationKey, Number(webWidthM.toFixed(6))])).toEqual([
      ['film-1/a', 1.2],
      ['film-1/b', 1.2],
      ['paper-1/main', 2.4],
    ]);
    expect(stations.every(({ winder }) => winder.simulated)).toBe(true);
    expect(stations.map(({ station, grades }) => grades.get(station.defaultGrade)?.activated)).toEqual([
      true,
      true,
      true,
    ]);
  });

  it('the example shows every key of a signal, and names every signal in its comments', () => {
    const text = readFileSync(new URL('../../../deploy/plant.example.yaml', import.meta.url), 'utf8');
    for (const signal of signalNames) expect(text).toContain(signal);
    for (const key of [
      'pointer:',
      'unit:',
      'factor:',
      'sign:',
      'total:',
      'plausible:',
      'expectedPeriodS:',
      'uncertainty:',
      'uncertaintyRatio:',
      'payload:',
      'time:',
      'sequence:',
    ]) {
      expect(text).toContain(key);
    }
  });
});
