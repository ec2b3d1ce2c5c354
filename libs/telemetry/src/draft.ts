import type { SignalName } from '@edge-margin/plant';
import type { Reason } from '@edge-margin/units';
import type { TextDecode } from './compiled-sources.js';
import type { MessageRow } from './journal-row.js';
import { payloadSample } from './payload-sample.js';
import type { Reading, ReadingNotUsed } from './reading.js';
import { longestTopicKept } from './topic-levels.js';
import { shortened } from './visible-text.js';

/** Messages of one topic that never came, known by a gap in their numbers. */
export interface LostMessages {
  readonly topic: string;
  readonly expected: number;
  readonly got: number;
  readonly count: number;
  readonly arrivedAtMs: number;
}

/** What one message gives, while it is being read. */
export interface Draft {
  readonly row: MessageRow;
  readonly textDecoder: TextDecode;
  readonly readings: Reading[];
  readonly notUsed: ReadingNotUsed[];
  readonly lost: LostMessages[];
  duplicate: boolean;
  /** Made when the first reason needs it. */
  sample?: string;
}

/** What a value that was refused is about, as far as it is known. */
export interface About {
  readonly atMs?: number | undefined;
  readonly stationKey?: string;
  readonly signal?: SignalName;
}

/** Notes that the message, or a value in it, is not used. */
export function refuse(draft: Draft, because: Reason, { atMs, ...about }: About = {}): void {
  const { row } = draft;
  draft.sample ??= payloadSample(row.payload, draft.textDecoder);
  draft.notUsed.push({
    because,
    topic: shortened(row.topic, longestTopicKept),
    arrivedAtMs: row.arrivedAtMs,
    ...(atMs === undefined ? {} : { atMs }),
    ...about,
    sample: draft.sample,
  });
}
