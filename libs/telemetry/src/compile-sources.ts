import {
  type PlantFile,
  type SignalMapping,
  type SignalName,
  type Source,
  type SourceTime,
  signalKinds,
  stationIndex,
} from '@edge-margin/plant';
import { lookUpUnit } from '@edge-margin/units';
import type {
  CompiledSignal,
  CompiledSource,
  CompiledSources,
  CompiledTime,
  TextDecode,
} from './compiled-sources.js';
import { parsePointer } from './json-pointer.js';
import { topicLevels } from './topic-levels.js';
import { topicTree } from './topic-tree.js';

/**
 * Makes the plant's sources ready for {@link decode}.
 * @param plant a plant file that has passed its checks
 * @param deps `textDecoder` decodes UTF-8 and throws where the bytes are not UTF-8
 * @throws RangeError if a pointer or a unit is one that the checks of the plant file refuse
 */
export function compileSources(
  plant: PlantFile,
  deps: { readonly textDecoder: TextDecode },
): CompiledSources {
  const patterns = plant.sources.map((source) => ({
    levels: topicLevels(source.topic),
    item: compileSource(source),
  }));
  return {
    textDecoder: deps.textDecoder,
    tree: topicTree(patterns),
    stations: stationIndex(plant),
    resolved: new Map(),
  };
}

function compileSource(source: Source): CompiledSource {
  const levels = topicLevels(source.topic);
  const placeOf = (name: string) =>
    levels.findIndex((level) => level.kind === 'capture' && level.name === name);
  const times = new Map<string, CompiledTime>();
  return {
    payload: source.payload,
    captures: { winder: placeOf('winder'), station: placeOf('station'), end: placeOf('end') },
    winder: source.winder,
    station: source.station,
    sequence: source.sequence === undefined ? undefined : parsePointer(source.sequence),
    signals: source.signals.map((mapping) =>
      compileSignal(mapping, timeIndex(times, mapping.time ?? source.time)),
    ),
    times: [...times.values()],
  };
}

function compileSignal(mapping: SignalMapping, time: number): CompiledSignal {
  const { signal, pointer, unit, total } = mapping;
  const kind = signalKinds[signal];
  const given = unit === '' && total ? 'N' : unit || kind.unit;
  if (kind.value === 'number') checkUnit(signal, given, total ? 'N' : kind.unit);
  return {
    mapping,
    signal,
    value: kind.value,
    pointer: parsePointer(pointer ?? ''),
    unit: given,
    siUnit: kind.unit,
    time,
  };
}

/** Adds the time unless it is there, and tells its place. */
function timeIndex(times: Map<string, CompiledTime>, time: SourceTime): number {
  const key = time === 'arrival' ? time : `${time.format} ${time.pointer}`;
  if (!times.has(key)) {
    times.set(key, time === 'arrival' ? time : { pointer: parsePointer(time.pointer), format: time.format });
  }
  return [...times.keys()].indexOf(key);
}

function checkUnit(signal: SignalName, given: string, wanted: string): void {
  const [unit, si] = [lookUpUnit(given), lookUpUnit(wanted)];
  if (!unit.ok || !si.ok || unit.unit.dimension !== si.unit.dimension) {
    throw new RangeError(`unit of ${signal}: a unit that converts to ${wanted} is needed, got ${given}`);
  }
}
