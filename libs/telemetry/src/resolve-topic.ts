import { type Reason, reason } from '@edge-margin/units';
import type {
  CompiledSource,
  CompiledSources,
  ResolvedSignal,
  ResolvedSource,
  ResolvedTopic,
} from './compiled-sources.js';
import { mostTopics } from './decoder-state.js';
import { longestTopicKept } from './topic-levels.js';
import { itemsFor } from './topic-tree.js';
import { shownValue } from './visible-text.js';

const mostResolved = mostTopics;

/**
 * Finds the sources that take a topic and what their captures stand for. A source whose capture is no winder, station or end of the plant
 * does not take the topic; where no other source does, the reason names what is not known.
 */
export function resolveTopic(compiled: CompiledSources, topic: string): ResolvedTopic {
  const known = compiled.resolved.get(topic);
  if (known !== undefined) return known;
  const resolved = resolve(compiled, topic);
  if (resolved.ok && topic.length <= longestTopicKept) {
    if (compiled.resolved.size >= mostResolved) compiled.resolved.clear();
    compiled.resolved.set(topic, resolved);
  }
  return resolved;
}

function resolve(compiled: CompiledSources, topic: string): ResolvedTopic {
  const levels = topic.split('/');
  const found = itemsFor(compiled.tree, levels).map((source) => resolveSource(compiled, source, levels));
  const sources = found.flatMap((one) => (one.ok ? one.source : []));
  if (sources.length > 0) {
    return { ok: true, sources, numbered: sources.find(({ source }) => source.sequence !== undefined) };
  }
  const because = found.find((one) => !one.ok)?.because;
  return { ok: false, because: because ?? notMapped(topic) };
}

type Found =
  { readonly ok: true; readonly source: ResolvedSource } | { readonly ok: false; readonly because: Reason };

function resolveSource(
  { stations }: CompiledSources,
  source: CompiledSource,
  levels: readonly string[],
): Found {
  const captured = (name: 'winder' | 'station' | 'end') => levels[source.captures[name]];
  const end = captured('end');
  if (end !== undefined && end !== 'tending' && end !== 'drive')
    return { ok: false, because: unknownEnd(end) };
  const signals: ResolvedSignal[] = [];
  for (const compiled of source.signals) {
    const { mapping } = compiled;
    const winder = captured('winder') ?? mapping.winder ?? source.winder;
    const station = captured('station') ?? mapping.station ?? source.station;
    const context = stations.get(`${winder}/${station}`);
    if (context === undefined) return { ok: false, because: unknownEquipment(winder, station) };
    signals.push({
      compiled,
      stationKey: context.stationKey,
      end: end ?? mapping.end,
      perWidthM: mapping.total ? context.webWidthM : 1,
    });
  }
  return { ok: true, source: { source, signals } };
}

function notMapped(topic: string): Reason {
  return reason('topic-not-mapped', `no source of the plant file takes the topic ${shownValue(topic)}`);
}

function unknownEquipment(winder = '', station = ''): Reason {
  const text = `winder ${shownValue(winder)} with station ${shownValue(station)} is not in the plant file: a winder and one of its stations are needed`;
  return reason('unknown-equipment', text, { winder: winder.slice(0, 40), station: station.slice(0, 40) });
}

function unknownEnd(end: string): Reason {
  return reason('unknown-end', `the topic names the end ${shownValue(end)}: tending or drive is needed`, {
    end: end.slice(0, 40),
  });
}
