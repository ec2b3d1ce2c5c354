/** What a message's number says against the last one. */
export type SequenceStep =
  | { readonly kind: 'in-order' | 'restart'; readonly last: number }
  | { readonly kind: 'duplicate'; readonly last: number }
  | { readonly kind: 'gap'; readonly last: number; readonly expected: number; readonly count: number };

/** A redelivery goes back a session's window of unacknowledged messages at most; counters go back further when they start anew. */
const redeliveryWindow = 1000;

/**
 * Compares a message's number, which counts up by one a message, with the last one of its topic (MQTT keeps the order within a topic: MQTT 5.0, 4.6).
 *
 * The same number again is a duplicate. So is a lower one where the broker says so or where it lies close behind (within 1000 and not below half
 * of the last one): redelivery. Any other lower number is a counter that started anew, as it does after a restart or when it is full; that is no gap.
 * A higher number than the next is a gap.
 * @param last the last number, undefined for the first message
 * @param got this message's number, a whole number >= 0
 * @param redelivered the broker's mark that it may have sent the message before
 */
export function stepSequence(last: number | undefined, got: number, redelivered: boolean): SequenceStep {
  if (last === undefined || got === last + 1) return { kind: 'in-order', last: got };
  if (got > last) return { kind: 'gap', last: got, expected: last + 1, count: got - last - 1 };
  const closeBehind = got > 1 && got >= last / 2 && last - got <= redeliveryWindow;
  return got === last || redelivered || closeBehind
    ? { kind: 'duplicate', last }
    : { kind: 'restart', last: got };
}
