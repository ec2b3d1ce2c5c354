import type { SourceClock } from './source-clock.js';
import { longestTopicKept } from './topic-levels.js';

/** What decoding remembers: per topic, the clock behind its time stamps and the last number of its messages. JSON, bounded. */
export interface DecoderState {
  readonly version: 1;
  readonly topics: readonly TopicMemory[];
}

/** Left out: no message with a time, or with a number, was seen. */
export interface TopicMemory {
  readonly topic: string;
  readonly clock?: SourceClock;
  readonly sequence?: number;
}

/** A source's clock that runs ahead, as it is corrected. */
export interface ClockOffset {
  readonly topic: string;
  /** By how much the time stamps are set back, ms. */
  readonly aheadMs: number;
}

export const initialDecoderState: DecoderState = { version: 1, topics: [] };

/** Topics remembered, several for each signal of the largest plant; beyond, the one that was first seen longest ago is forgotten. */
export const mostTopics = 20_000;

/**
 * The memory while messages are being decoded, by topic, the one first seen longest ago first. It is changed in place: a copy for each
 * message would cost as much as there are topics.
 */
export type TopicMemories = Map<string, TopicMemory>;

/** Opens the state for decoding; the state itself stays as it is. */
export function topicMemories(state: DecoderState): TopicMemories {
  return new Map(state.topics.map((memory) => [memory.topic, memory]));
}

/** The state as it stands. */
export function decoderState(memories: TopicMemories): DecoderState {
  return { version: 1, topics: [...memories.values()] };
}

/** Keeps what is remembered of a topic in place of what was. */
export function keepTopicMemory(memories: TopicMemories, memory: TopicMemory): void {
  const { topic } = memory;
  if (topic.length > longestTopicKept) return;
  if (memories.size >= mostTopics && !memories.has(topic)) {
    const [oldest] = memories.keys();
    if (oldest !== undefined) memories.delete(oldest);
  }
  memories.set(topic, memory);
}

/** The sources whose clocks run ahead and are corrected, with the present correction. */
export function clockOffsets(state: DecoderState): readonly ClockOffset[] {
  return state.topics.flatMap(({ topic, clock }) =>
    clock !== undefined && clock.aheadMs > 0 ? [{ topic, aheadMs: clock.aheadMs }] : [],
  );
}
