import { type Reason, reason } from '@edge-margin/units';
import type { TopicMemory } from './decoder-state.js';
import { type Draft, refuse } from './draft.js';
import type { EventTime } from './event-time.js';
import { type JsonPointer, valueAt } from './json-pointer.js';
import { stepSequence } from './sequence.js';
import { observeDelay, unobservedClock } from './source-clock.js';
import { shownValue } from './visible-text.js';

/** The message's freshest time stamp tells of the source's clock. Retained messages tell nothing: they were sent at some time past. */
export function followClock(
  memory: TopicMemory,
  times: readonly (EventTime | undefined)[],
  arrivedAtMs: number,
): TopicMemory {
  let latestMs: number | undefined;
  for (const time of times) {
    if (time?.ok === true && !time.fromArrival && time.atMs > (latestMs ?? -Infinity)) latestMs = time.atMs;
  }
  if (latestMs === undefined) return memory;
  return { ...memory, clock: observeDelay(memory.clock ?? unobservedClock, arrivedAtMs - latestMs) };
}

/** The message's number against the last one of its topic: gaps and duplicates are noted. */
export function followSequence(
  draft: Draft,
  memory: TopicMemory,
  root: unknown,
  pointer: JsonPointer,
): TopicMemory {
  const { row } = draft;
  const raw = valueAt(root, pointer);
  const got = typeof raw === 'string' && /^\d{1,15}$/.test(raw) ? Number(raw) : raw;
  if (typeof got !== 'number' || !Number.isSafeInteger(got) || got < 0) {
    refuse(draft, notNumbered(raw, pointer.text));
    return memory;
  }
  const step = stepSequence(memory.sequence, got, row.dup);
  if (step.kind === 'duplicate') draft.duplicate = true;
  if (step.kind === 'gap') {
    const { expected, count } = step;
    draft.lost.push({ topic: row.topic, expected, got, count, arrivedAtMs: row.arrivedAtMs });
  }
  return { ...memory, sequence: step.last };
}

function notNumbered(raw: unknown, pointer: string): Reason {
  const what = raw === undefined ? 'missing' : shownValue(raw);
  const text = `${pointer}, the message's number, is ${what}: a whole number from 0 on is needed`;
  return reason('sequence-malformed', text, { pointer });
}

/** A clock this little ahead is let be. */
const aheadAllowedMs = 2000;

/** An event does not lie after its arrival: until the correction has followed a clock that jumped ahead, the arrival stands in. */
export function setBack(atMs: number, aheadMs: number, arrivedAtMs: number): number {
  const corrected = atMs - aheadMs;
  return corrected > arrivedAtMs + aheadAllowedMs ? arrivedAtMs : corrected;
}
