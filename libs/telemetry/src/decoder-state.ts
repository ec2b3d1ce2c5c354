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

/** Topics remembered; beyond, the one that was first seen longest ago is forgotten. */
const mostTopics = 1000;

/** What is remembered of a topic. */
export function topicMemory(state: DecoderState, topic: string): TopicMemory {
  return state.topics.find((memory) => memory.topic === topic) ?? { topic };
}

/** The state with this topic's memory in place of its last one. */
export function withTopicMemory(state: DecoderState, memory: TopicMemory): DecoderState {
  if (memory.topic.length > longestTopicKept) return state;
  const at = state.topics.findIndex(({ topic }) => topic === memory.topic);
  if (at >= 0) return { ...state, topics: state.topics.with(at, memory) };
  return { ...state, topics: [...state.topics.slice(1 - mostTopics), memory] };
}

/** The sources whose clocks run ahead and are corrected, with the present correction. */
export function clockOffsets(state: DecoderState): readonly ClockOffset[] {
  return state.topics.flatMap(({ topic, clock }) =>
    clock !== undefined && clock.aheadMs > 0 ? [{ topic, aheadMs: clock.aheadMs }] : [],
  );
}
