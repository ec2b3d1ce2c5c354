import { reason } from '@edge-margin/units';
import type { CompiledSource, CompiledSources, ResolvedSignal, ResolvedSource } from './compiled-sources.js';
import {
  type DecoderState,
  decoderState,
  keepTopicMemory,
  topicMemories,
  type TopicMemories,
  type TopicMemory,
} from './decoder-state.js';
import { type Draft, type LostMessages, refuse } from './draft.js';
import { type EventTime, eventTime } from './event-time.js';
import { followClock, followSequence, setBack } from './follow-source.js';
import type { MessageRow } from './journal-row.js';
import { type JsonPointer, valueAt } from './json-pointer.js';
import { readPayload } from './read-payload.js';
import { readValue } from './read-value.js';
import type { Reading, ReadingNotUsed } from './reading.js';
import { resolveTopic } from './resolve-topic.js';
import { shortened } from './visible-text.js';

export interface Decoded extends DecodedMessage {
  readonly state: DecoderState;
}

/** What one message gives. */
export interface DecodedMessage {
  /** In the order of the plant file. */
  readonly readings: readonly Reading[];
  readonly notUsed: readonly ReadingNotUsed[];
  readonly lost: readonly LostMessages[];
  /** The message's number was seen before: a redelivery. Its readings are given all the same; applying them twice changes nothing. */
  readonly duplicate: boolean;
}

/**
 * One message to readings in SI, in order, with what could not be used and why. Total: any topic and any bytes give a result.
 *
 * Time: the source's time stamp; where the source's clock is seen to run ahead by 2 to 60 s it is set back by as much (see {@link clockOffsets}),
 * and no reading is left more than 2 s ahead of its arrival. Old readings are given as they are: whether they are late is the station's to say.
 * A field that is missing is reported where the plant file expects it periodically (`expectedPeriodS`), or where the message holds no field of its source.
 * @param state from the last message, or `initialDecoderState`
 * @param row the message as it came
 * @param compiled from `compileSources`
 */
export function decode(state: DecoderState, row: MessageRow, compiled: CompiledSources): Decoded {
  const memories = topicMemories(state);
  const before = memories.get(row.topic);
  const { readings, notUsed, lost, duplicate } = decodeMessage(memories, row, compiled);
  const after = memories.get(row.topic) === before ? state : decoderState(memories);
  return { state: after, readings, notUsed, lost, duplicate };
}

/** As {@link decode}, with the memory of all topics changed in place: for one message after the other. */
export function decodeMessage(
  memories: TopicMemories,
  row: MessageRow,
  compiled: CompiledSources,
): DecodedMessage {
  const topic = resolveTopic(compiled, row.topic);
  const draft: Draft = {
    row,
    textDecoder: compiled.textDecoder,
    readings: [],
    notUsed: [],
    lost: [],
    duplicate: false,
  };
  if (!topic.ok) {
    refuse(draft, topic.because);
    return draft;
  }
  const before = memories.get(row.topic) ?? { topic: row.topic };
  let memory: TopicMemory = before;
  for (const one of topic.sources) {
    memory = decodeSource(draft, memory, one, one === topic.numbered ? one.source.sequence : undefined);
  }
  if (memory !== before) keepTopicMemory(memories, memory);
  return draft;
}

function decodeSource(
  draft: Draft,
  memory: TopicMemory,
  { source, signals }: ResolvedSource,
  sequence: JsonPointer | undefined,
): TopicMemory {
  const { row } = draft;
  const payload = readPayload(row.payload, source.payload, draft.textDecoder);
  if (!payload.ok) {
    refuse(draft, payload.because);
    return memory;
  }
  const { root } = payload;
  const numbered =
    sequence === undefined || row.retain ? memory : followSequence(draft, memory, root, sequence);
  const found = signals.map(({ compiled }) => valueAt(root, compiled.pointer));
  const times = timesOf(draft, root, source, signals, found);
  const clocked = row.retain ? numbered : followClock(numbered, times, row.arrivedAtMs);
  const aheadMs = clocked.clock?.aheadMs ?? 0;
  let i = 0;
  for (const signal of signals) {
    readSignal(draft, signal, found[i], times[signal.compiled.time], aheadMs);
    i += 1;
  }
  if (found.includes(undefined)) reportMissing(draft, signals, found);
  return clocked;
}

/** The times that the fields in this message need; a time that is no good is reported once for all its fields. */
function timesOf(
  draft: Draft,
  root: unknown,
  source: CompiledSource,
  signals: readonly ResolvedSignal[],
  found: readonly unknown[],
) {
  const times: (EventTime | undefined)[] = [];
  let i = 0;
  for (const { compiled } of signals) {
    const { time } = compiled;
    const place = source.times[time];
    const isNeeded = found[i] !== undefined && times[time] === undefined;
    i += 1;
    if (!isNeeded || place === undefined) continue;
    const read = eventTime(root, place, draft.row.arrivedAtMs);
    times[time] = read;
    if (!read.ok) refuse(draft, read.because, { atMs: read.atMs });
  }
  return times;
}

function readSignal(
  draft: Draft,
  resolved: ResolvedSignal,
  raw: unknown,
  time: EventTime | undefined,
  aheadMs: number,
): void {
  if (raw === undefined || time?.ok !== true) return;
  const { row } = draft;
  const { stationKey, end, compiled } = resolved;
  const atMs = time.fromArrival ? time.atMs : setBack(time.atMs, aheadMs, row.arrivedAtMs);
  const read = readValue(raw, resolved);
  if (!read.ok) {
    refuse(draft, read.because, { atMs, stationKey, signal: compiled.signal });
    return;
  }
  draft.readings.push({
    stationKey,
    signal: compiled.signal,
    end,
    atMs,
    arrivedAtMs: row.arrivedAtMs,
    timeFromArrival: time.fromArrival,
    value: read.value,
    uncertainty: read.uncertainty,
    retained: row.retain,
  });
}

function reportMissing(draft: Draft, signals: readonly ResolvedSignal[], found: readonly unknown[]): void {
  const missing = signals.filter((_, i) => found[i] === undefined);
  const expected = missing.filter(({ compiled }) => compiled.mapping.expectedPeriodS !== undefined);
  for (const resolved of expected) {
    const read = readValue(undefined, resolved);
    if (!read.ok)
      refuse(draft, read.because, { stationKey: resolved.stationKey, signal: resolved.compiled.signal });
  }
  if (expected.length > 0 || missing.length < signals.length) return;
  const pointers = new Set(missing.map(({ compiled }) => compiled.pointer.text));
  const text = shortened(
    `the message holds none of the fields of its source: ${[...pointers].join(', ')}`,
    200,
  );
  refuse(draft, reason('no-field', text, { fields: pointers.size }));
}
