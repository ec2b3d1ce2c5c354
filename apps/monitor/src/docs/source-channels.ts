import { type PlantFile, type Source } from '@edge-margin/plant';
import { subscriptions } from '@edge-margin/telemetry';
import type { JsonSchema } from './api-schemas.js';

/** A source of the plant file as a channel that the service reads. */
export interface SourceChannel {
  readonly id: string;
  readonly address: string;
  /** Names in the address, with what they stand for. */
  readonly parameters: Readonly<Record<string, { readonly description: string }>>;
  /** The topic filter that the service subscribes for it; it may cover more than one channel. */
  readonly filter: string;
  readonly payload: JsonSchema;
  readonly contentType: string;
  readonly summary: string;
}

const meaning: Readonly<Record<string, string>> = {
  winder: 'Id of a winder in the plant file',
  station: 'Id of a station of the winder',
  end: 'End of the nip: `tending` or `drive`',
};

/** The channels of a plant file's sources, in its order. */
export function sourceChannels(plant: PlantFile): readonly SourceChannel[] {
  const filters = subscriptions(plant);
  return plant.sources.map((source, at) => {
    const { address, parameters } = addressOf(source.topic);
    return {
      id: `source${at + 1}`,
      address,
      parameters,
      filter: filters.find((filter) => covers(filter, source.topic)) ?? '',
      payload: source.payload === 'plain' ? plainSchema(source) : jsonSchema(source),
      contentType: source.payload === 'plain' ? 'text/plain' : 'application/json',
      summary: `Readings: ${[...new Set(source.signals.map(({ signal }) => signal))].join(', ')}`,
    };
  });
}

/** An address has names where a topic of the plant file has `{any}` (which may stand there more than once) and `#`. */
function addressOf(topic: string): Pick<SourceChannel, 'address' | 'parameters'> {
  const parameters: Record<string, { description: string }> = {};
  let count = 0;
  const name = (given: string): string => {
    const unique = given === 'any' ? `any${(count += 1)}` : given;
    parameters[unique] = { description: meaning[given] ?? 'Any level of a topic' };
    return `{${unique}}`;
  };
  const levels = topic.split('/').map((level) => {
    if (level === '#') {
      parameters['rest'] = { description: 'Whatever levels follow' };
      return '{rest}';
    }
    return level.replace(/\{(\w+)\}/g, (_whole, given: string) => name(given));
  });
  return { address: levels.join('/'), parameters };
}

/** Whether a topic filter (MQTT 5.0, 4.7) matches everything that a topic of the plant file stands for. */
function covers(filter: string, topic: string): boolean {
  const [wide, narrow] = [filter.split('/'), topic.split('/')];
  for (let i = 0; ; i += 1) {
    if (wide[i] === '#') return true;
    if (wide[i] === undefined || narrow[i] === undefined) return wide[i] === narrow[i];
    if (wide[i] !== '+' && wide[i] !== narrow[i]) return false;
    if (narrow[i] === '#') return false;
  }
}

type Mapping = Source['signals'][number];

function plainSchema({ signals }: Source): JsonSchema {
  return valueSchema(signals);
}

interface Branch {
  readonly children: Map<string, Branch>;
  schema: JsonSchema | undefined;
}

/** An object with everything that the pointers of the source name; more may stand in it, and none of it must. */
function jsonSchema(source: Source): JsonSchema {
  const root: Branch = { children: new Map(), schema: undefined };
  for (const [pointer, mappings] of byPointer(source.signals)) put(root, pointer, valueSchema(mappings));
  const times = [source.time, ...source.signals.map(({ time }) => time)];
  for (const time of times)
    if (typeof time === 'object')
      put(root, time.pointer, { description: `Time of the measurement, ${time.format}` });
  if (source.sequence !== undefined)
    put(root, source.sequence, { description: 'Counts up by one a message; gaps are recorded' });
  return schemaOf(root);
}

function byPointer(signals: readonly Mapping[]): Map<string, Mapping[]> {
  const groups = new Map<string, Mapping[]>();
  for (const mapping of signals) {
    const pointer = mapping.pointer ?? '';
    groups.set(pointer, [...(groups.get(pointer) ?? []), mapping]);
  }
  return groups;
}

function put(root: Branch, pointer: string, schema: JsonSchema): void {
  let branch = root;
  for (const token of pointer.split('/').slice(1)) {
    const key = token.replaceAll('~1', '/').replaceAll('~0', '~');
    const child = branch.children.get(key) ?? { children: new Map(), schema: undefined };
    branch.children.set(key, child);
    branch = child;
  }
  branch.schema ??= schema;
}

function schemaOf({ children, schema }: Branch): JsonSchema {
  if (children.size === 0) return schema ?? {};
  const properties = Object.fromEntries([...children].map(([key, child]) => [key, schemaOf(child)]));
  // Where a pointer goes into a list, its numbers are read as places in it.
  const isList = [...children.keys()].every((key) => /^\d+$/.test(key));
  return isList
    ? { type: 'array', description: `Places read: ${[...children.keys()].join(', ')}` }
    : { type: 'object', properties };
}

function valueSchema(mappings: readonly Mapping[]): JsonSchema {
  const said = mappings.map(({ signal, unit, end, total }) =>
    [
      signal,
      unit === '' ? 'SI unit' : unit,
      ...(end === 'both' ? [] : [`${end} side`]),
      ...(total ? ['over the whole web width'] : []),
    ].join(', '),
  );
  return { description: said.join('; ') };
}
