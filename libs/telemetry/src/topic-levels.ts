import { parseTopic, type TopicLevel } from '@edge-margin/plant';

/** Longer topics are decoded, but neither remembered nor quoted whole. */
export const longestTopicKept = 300;

/**
 * The levels of a source's topic.
 * @throws RangeError if the topic is one that the checks of the plant file refuse.
 */
export function topicLevels(topic: string): readonly TopicLevel[] {
  const parsed = parseTopic(topic);
  if (!parsed.ok) throw new RangeError(`topic: ${parsed.faults.join('; ')}, got ${topic}`);
  return parsed.levels;
}
