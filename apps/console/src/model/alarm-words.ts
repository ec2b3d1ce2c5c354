import type { AlarmTransition, AlarmView } from '@edge-margin/alarms';
import { needsAcknowledgement, priorityRank } from './level.js';

/** Where an alarm stands: `new since 14:21`, `acknowledged 14:22 by Kim`, `cleared 14:30, not acknowledged`. */
export function alarmStatus(alarm: AlarmView, since: (atMs: number) => string): string {
  const frozen = alarm.inputQuality === 'stale' ? '; its input is stale, so it cannot clear' : '';
  return `${statusWords(alarm, since)}${frozen}`;
}

function statusWords(alarm: AlarmView, since: (atMs: number) => string): string {
  const from = since(alarm.conditionSinceMs);
  switch (alarm.state) {
    case 'UNACK':
      return `new since ${from}`;
    case 'ACKED':
      return alarm.acknowledged === null
        ? `acknowledged, since ${from}`
        : `since ${from}; acknowledged ${since(alarm.acknowledged.atMs)} by ${alarm.acknowledged.actor}${commentWords(alarm.acknowledged.comment)}`;
    case 'RTNUN':
      return `since ${from}; cleared ${alarm.clearedAtMs === null ? 'since' : since(alarm.clearedAtMs)}, not acknowledged`;
    case 'NORM':
      return 'cleared';
  }
}

/** What was said with it. */
function commentWords(comment: string | null): string {
  return comment === null || comment === '' ? '' : `: “${comment}”`;
}

/** Most urgent first: not acknowledged, then by priority, then the one raised first. The given list is left as it is. */
export function mostUrgentFirst(alarms: readonly AlarmView[]): readonly AlarmView[] {
  return [...alarms].sort(
    (a, b) =>
      Number(needsAcknowledgement(b)) - Number(needsAcknowledgement(a)) ||
      priorityRank(b.priority) - priorityRank(a.priority) ||
      a.raisedAtMs - b.raisedAtMs,
  );
}

const happened = {
  raise: 'raised',
  escalate: 'risen to',
  'de-escalate': 'fallen to',
  clear: 'cleared',
  acknowledge: 'acknowledged',
} as const satisfies Record<AlarmTransition['kind'], string>;

/** What happened, one row of the journal: `raised`, `risen to high`, `acknowledged by Kim`. */
export function transitionWords({ kind, alarm, actor }: AlarmTransition): string {
  const stage = kind === 'escalate' || kind === 'de-escalate' ? ` ${alarm.priority}` : '';
  return `${happened[kind]}${stage}${actor === null ? '' : ` by ${actor}`}`;
}

const inWords = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
] as const;

/** A count as people say it: in words up to twelve. */
export function countWords(count: number): string {
  return inWords[count] ?? String(count);
}
