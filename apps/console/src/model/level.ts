import type { AlarmPriority, AlarmView } from '@edge-margin/alarms';

/**
 * How a plate is drawn: by alarm priority; outlined with the far edge dashed where nobody watches; thin for a trial; `plain` for a state that
 * no alarm stands behind (yet): outlined in ink, because hue belongs to alarm priority only; `none` where nothing is wrong.
 */
export type Level = AlarmPriority | 'plain' | 'unwatched' | 'trial' | 'none';

const rank = { low: 1, medium: 2, high: 3 } as const satisfies Record<AlarmPriority, number>;

/** Higher is more urgent. */
export function priorityRank(priority: AlarmPriority): number {
  return rank[priority];
}

export function isActive(alarm: AlarmView): boolean {
  return alarm.state === 'UNACK' || alarm.state === 'ACKED';
}

export function needsAcknowledgement(alarm: AlarmView): boolean {
  return alarm.state === 'UNACK' || alarm.state === 'RTNUN';
}

/** Priority of the most urgent active alarm about the edge itself (not about a signal), or null. */
export function edgePriority(alarms: readonly AlarmView[]): AlarmPriority | null {
  const edge = alarms.filter((alarm) => isActive(alarm) && alarm.mechanism !== 'signal');
  return edge.reduce<AlarmPriority | null>(
    (most, alarm) => (most === null || rank[alarm.priority] > rank[most] ? alarm.priority : most),
    null,
  );
}
