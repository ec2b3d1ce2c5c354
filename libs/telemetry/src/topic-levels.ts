/** One level of a source's topic: fixed text, a capture of one level, or all levels that follow. */
export type TopicLevel =
  | { readonly kind: 'text'; readonly text: string }
  | { readonly kind: 'capture'; readonly name: string }
  | { readonly kind: 'rest' };

/** Longer topics are decoded, but neither remembered nor quoted whole. */
export const longestTopicKept = 300;

/** Takes a source's topic apart; whether it is well formed is for the checks of the plant file to say. */
export function topicLevels(topic: string): readonly TopicLevel[] {
  return topic.split('/').map((text) => {
    if (text === '#') return { kind: 'rest' };
    const name = /^\{(.*)\}$/.exec(text)?.[1];
    return name === undefined ? { kind: 'text', text } : { kind: 'capture', name };
  });
}
