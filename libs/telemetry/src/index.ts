/**
 * From the bytes of a message to readings: topic and payload mapping, time stamps, units, plausibility, and what could not be used and why.
 *
 * In: the plant file's sources, once (`compileSources`); then the journal's message rows, one by one (`decode`), with the state from the last one.
 * Out: readings in SI with event time, uncertainty and station; everything that could not be used, each with a reason that names field, value,
 * unit and what would be right; messages that were lost, by the gaps in their numbers; the correction of clocks that run ahead (`clockOffsets`).
 * `subscriptions` are the topic filters to ask the broker for.
 *
 * Reads JSON (RFC 8259, fields by JSON pointer, RFC 6901) and bare values; times of RFC 3339 or epoch s, ms, us, ns, or the arrival.
 * Not read: Sparkplug B, wave forms, messages above 64 KiB.
 *
 * Valid for any bytes: nothing throws, a fault is data. The state is JSON, bounded (1000 topics), and the same rows give the same results. It reads
 * no clock; the UTF-8 decoder is handed in, as pure code has none.
 * Sources: MQTT 5.0 (OASIS) for topics and order; RFC 8259, 6901, 3339, 3629; UCUM for units; JCGM 100:2008 for uncertainty. The bounds of what is
 * possible and the figures of the clock correction are our own choice and stand beside their code.
 */
export type {
  Command,
  CommandRow,
  ConfigRow,
  JournalRow,
  LinkRow,
  MessageRow,
  NewJournalRow,
  TickRow,
} from './journal-row.js';
export type { Reading, ReadingNotUsed } from './reading.js';
export type { CompiledSources, TextDecode } from './compiled-sources.js';
export { compileSources } from './compile-sources.js';
export { subscriptions } from './topic-filter.js';
export { type Decoded, type DecodedMessage, decode, decodeMessage } from './decode.js';
export type { LostMessages } from './draft.js';
export {
  type ClockOffset,
  type DecoderState,
  type TopicMemories,
  clockOffsets,
  decoderState,
  initialDecoderState,
  topicMemories,
} from './decoder-state.js';
export { payloadSample } from './payload-sample.js';
