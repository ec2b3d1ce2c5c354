import { PublishError } from './publisher.js';

/** Something that could not be published. */
export interface PublishFault {
  readonly code: 'publish-refused' | 'publish-too-large';
  readonly topic: string;
  readonly sinceMs: number;
  readonly atMs: number;
  readonly text: string;
}

export interface PublishFaults {
  /** The broker has taken a message with this topic. */
  readonly published: (topic: string) => void;
  /** Notes what speaks of the message or of our rights; an absent connection is no news. */
  readonly failed: (topic: string, error: unknown, atMs: number) => void;
  /** Oldest first. */
  readonly now: (atMs: number) => readonly PublishFault[];
}

const mostTopics = 100;
/** Longer than any pause between two attempts. */
const forgottenAfterMs = 1_800_000;

/** Remembers for which topics the broker did not take a message: until it takes one it refused before, or for half an hour after the last. */
export function publishFaults(): PublishFaults {
  const faults = new Map<string, PublishFault>();
  return {
    published: (topic) => {
      // What was too large was passed over: that a smaller one went through does not undo it.
      if (faults.get(topic)?.code === 'publish-refused') faults.delete(topic);
    },
    failed: (topic, error, atMs) => {
      if (!(error instanceof PublishError)) return;
      const code =
        error.code === 'refused'
          ? 'publish-refused'
          : error.code === 'too-large'
            ? 'publish-too-large'
            : undefined;
      if (code === undefined || (!faults.has(topic) && faults.size >= mostTopics)) return;
      const sinceMs = faults.get(topic)?.sinceMs ?? atMs;
      faults.set(topic, { code, topic, sinceMs, atMs, text: error.message });
    },
    now: (atMs) => {
      for (const [topic, fault] of faults) {
        if (Math.abs(atMs - fault.atMs) > forgottenAfterMs) faults.delete(topic);
      }
      return [...faults.values()];
    },
  };
}
