import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { z } from 'zod';
import { edited, smallPlant } from './fixtures/small-plant.js';
import { plantJsonSchema } from './json-schema.js';

const deployed = (name: string) => readFileSync(new URL(`../../../deploy/${name}`, import.meta.url), 'utf8');

describe('the JSON Schema of the plant file', () => {
  const schema = plantJsonSchema();
  // Built from the JSON Schema alone, so that what it says is what is tested, not the schema it was made from.
  const rebuilt = z.fromJSONSchema(schema as Parameters<typeof z.fromJSONSchema>[0]);
  const accepts = (text: string) => rebuilt.safeParse(parse(text)).success;

  it('says which draft it is', () => {
    expect(schema.$schema).toBe('https://json-schema.org/draft/2020-12/schema');
  });

  it('accepts the example, the demonstration plant and the small plant of the tests', () => {
    expect(accepts(deployed('plant.example.yaml'))).toBe(true);
    expect(accepts(deployed('plant.demo.yaml'))).toBe(true);
    expect(accepts(smallPlant)).toBe(true);
  });

  it.each([
    ['a missing key', '    caliperM: 60e-6\n', ''],
    ['an unknown key', 'caliperM: 60e-6', 'caliperM: 60e-6\n    colour: red'],
    ['a number out of range', 'caliperM: 60e-6', 'caliperM: 60'],
    ['a word that is not in the list', 'signal: speed', 'signal: sped'],
    ['an id in capitals', 'id: w1', 'id: W1'],
    ['an empty list', '\n                  - { id: b1, widthM: 1.2 }', ' []'],
  ])('refuses %s', (_, from, to) => {
    expect(accepts(edited([from, to]))).toBe(false);
  });

  it('does not ask for keys that have a default', () => {
    expect(schema.required).toEqual(['plantFileVersion', 'site', 'areas', 'grades', 'sources']);
    const mapping = schema.properties?.['sources']?.items?.properties?.['signals']?.items;
    expect(mapping?.required).toEqual(['signal']);
  });

  it('describes every key that holds a value', () => {
    const undescribed: string[] = [];
    const visit = (
      path: string,
      { description, properties = {}, items, anyOf = [], type }: typeof schema,
    ) => {
      if (description === undefined && (type === 'number' || type === 'boolean' || type === 'integer'))
        undescribed.push(path);
      for (const [key, child] of Object.entries(properties)) visit(`${path}.${key}`, child);
      for (const child of [...anyOf, ...(items === undefined ? [] : [items])]) visit(path, child);
    };
    visit('', schema);
    expect(undescribed.filter((path) => !/plantFileVersion|sign$/.test(path))).toEqual([]);
  });
});
