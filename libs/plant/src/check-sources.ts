import { unknownId } from './known-id.js';
import type { MappingPart, PlantParts, SourceHead, SourcePart } from './plant-parts.js';
import { type Finding, error, valueText, warning } from './problem.js';
import { type CaptureName, parseTopic, topicsOverlap } from './topic-pattern.js';

/** Sources whose topic is malformed, whose winder or station nobody can tell or is not known, or whose payload cannot hold what is asked of it. */
export function checkSources(parts: PlantParts): readonly Finding[] {
  return [
    ...parts.sources.flatMap((part) => checkTopic(part, parts)),
    ...parts.sources.flatMap((part) => checkPayload(part, parts)),
    ...parts.mappings.flatMap((part) => checkTarget(part, parts)),
    ...parts.mappings.flatMap(checkPointer),
    ...overlaps(parts),
  ];
}

/** Whether the topic captures a level of that name; false for a malformed topic. */
export function captures({ topic }: SourceHead, name: CaptureName): boolean {
  const pattern = parseTopic(topic);
  return pattern.ok && pattern.levels.some((level) => level.kind === 'capture' && level.name === name);
}

function checkTopic({ path, source }: SourcePart, { mappings }: PlantParts): readonly Finding[] {
  if (source === undefined) return [];
  const at = [...path, 'topic'];
  const pattern = parseTopic(source.topic);
  if (!pattern.ok) return pattern.faults.map((fault) => error(at, valueText(source.topic), fault));
  const own = mappings.filter(({ from }) => from.path === path).flatMap(({ mapping }) => mapping ?? []);
  const findings: Finding[] = [];
  for (const name of ['winder', 'station'] as const) {
    const captured = captures(source, name);
    if (captured && source[name] !== undefined) {
      findings.push(
        error([...path, name], valueText(source[name]), `no ${name} here, as the topic captures it`),
      );
    }
    if (!captured && source[name] === undefined && own.some((mapping) => mapping[name] === undefined)) {
      findings.push(
        error(
          at,
          valueText(source.topic),
          `a level {${name}}, or the key ${name} in the source or in each of its signals`,
        ),
      );
    }
  }
  if (source.topic.startsWith('spBv1.0/')) {
    findings.push(
      warning(
        at,
        valueText(source.topic),
        'a topic with JSON or plain payloads: Sparkplug B payloads under spBv1.0 are not read',
      ),
    );
  }
  return findings;
}

function checkPayload({ path, source }: SourcePart, { mappings }: PlantParts): readonly Finding[] {
  if (source?.payload !== 'plain') return [];
  const findings: Finding[] = [];
  if (source.time !== 'arrival') {
    findings.push(
      error(
        [...path, 'time'],
        valueText(source.time),
        'arrival, as a plain payload holds nothing but the value',
      ),
    );
  }
  if (source.sequence !== undefined) {
    findings.push(
      error(
        [...path, 'sequence'],
        valueText(source.sequence),
        'no sequence, as a plain payload holds nothing but the value',
      ),
    );
  }
  const own = mappings.filter(({ from }) => from.path === path);
  if (own.length > 1) {
    findings.push(
      error(
        [...path, 'signals'],
        `a list of ${own.length}`,
        'one signal, as a plain payload holds one value',
      ),
    );
  }
  return findings;
}

/** The winder and station that a mapping names, its own word before that of its source; undefined where the topic captures them. */
export function targetOf({
  mapping,
  from: { source },
}: MappingPart): Readonly<Record<'winder' | 'station', string | undefined>> {
  const named = (name: 'winder' | 'station') =>
    source === undefined || captures(source, name) ? undefined : (mapping?.[name] ?? source[name]);
  return { winder: named('winder'), station: named('station') };
}

function checkTarget(part: MappingPart, { winders, stations }: PlantParts): readonly Finding[] {
  const { mapping, from, path } = part;
  if (mapping === undefined || from.source === undefined) return [];
  const findings: Finding[] = [];
  for (const name of ['winder', 'station'] as const) {
    if (mapping[name] !== undefined && captures(from.source, name)) {
      findings.push(
        error([...path, name], valueText(mapping[name]), `no ${name} here, as the topic captures it`),
      );
    }
  }
  const { winder, station } = targetOf(part);
  const givenAt = (name: 'winder' | 'station') => [...(mapping[name] === undefined ? from.path : path), name];
  if (winder !== undefined) findings.push(...unknownId(givenAt('winder'), winder, winders, 'a winder'));
  const known = winder === undefined || winders.some(({ id }) => id === winder);
  if (station !== undefined && known) {
    const candidates = winder === undefined ? stations : stations.filter((one) => one.winder.id === winder);
    const what = winder === undefined ? 'a station' : `a station of ${winder}`;
    findings.push(...unknownId(givenAt('station'), station, candidates, what));
  }
  return findings;
}

function checkPointer({ path, mapping, from: { source } }: MappingPart): readonly Finding[] {
  if (mapping === undefined || source === undefined) return [];
  const { pointer, time = source.time } = mapping;
  const at = [...path, 'pointer'];
  if (source.payload === 'plain' && pointer !== undefined) {
    return [error(at, valueText(pointer), 'no pointer, as the payload is plain: the bare value')];
  }
  if (source.payload === 'plain' && mapping.time !== undefined && mapping.time !== 'arrival') {
    return [
      error(
        [...path, 'time'],
        valueText(mapping.time),
        'arrival, as a plain payload holds nothing but the value',
      ),
    ];
  }
  if (source.payload === 'json' && (pointer ?? '') === '' && time !== 'arrival') {
    return [error(at, valueText(pointer), 'a JSON pointer to the value, as the payload holds a time too')];
  }
  return [];
}

/** Sources whose topics both take some message; only the first such pair of each source is told. */
function overlaps({ sources, winders, stations }: PlantParts): readonly Finding[] {
  const ids = {
    winder: new Set(winders.map(({ id }) => id)),
    station: new Set(stations.map(({ id }) => id)),
  };
  const allows = (name: CaptureName, text: string) =>
    name === 'any' || (name === 'end' ? text === 'tending' || text === 'drive' : ids[name].has(text));
  const patterns = sources.flatMap(({ path, source }) => {
    const pattern = source === undefined ? undefined : parseTopic(source.topic);
    return source !== undefined && pattern?.ok === true
      ? [{ path, topic: source.topic, levels: pattern.levels }]
      : [];
  });
  return patterns.flatMap(({ path, topic, levels }, index) => {
    const other = patterns.slice(0, index).find((earlier) => topicsOverlap(earlier.levels, levels, allows));
    return other === undefined
      ? []
      : [
          warning(
            [...path, 'topic'],
            valueText(topic),
            `a topic that no other source takes; messages can fit ${valueText(other.topic)} too`,
          ),
        ];
  });
}
