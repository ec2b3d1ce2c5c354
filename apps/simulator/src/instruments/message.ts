/** One MQTT message as it reaches the broker. */
export interface Message {
  /** When it arrives, true time, epoch ms. */
  readonly atMs: number;
  readonly topic: string;
  readonly payload: string;
  readonly retain: boolean;
}

/** Fills a topic's captures. */
export function topicFor(template: string, captures: Readonly<Record<string, string>>): string {
  return Object.entries(captures).reduce(
    (text, [name, value]) => text.replaceAll(`{${name}}`, value),
    template,
  );
}
