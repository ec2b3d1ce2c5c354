import type { AlarmView } from '@edge-margin/alarms';

/** What was announced already, and what to say aloud next. */
export interface Announcements {
  readonly announced: ReadonlySet<string>;
  readonly words: string | null;
}

/**
 * New high-priority alarms in one line, however many: `High alarm, Winder 5: Wraps are free to move`, `3 new high alarms`. An occurrence is new
 * once; it counts again only when it ended in between.
 */
export function newHighAlarms(
  before: ReadonlySet<string>,
  alarms: readonly AlarmView[],
  nameOf: (alarm: AlarmView) => string,
  whatOf: (alarm: AlarmView) => string = ({ because }) => because.text,
): Announcements {
  const high = alarms.filter((alarm) => alarm.priority === 'high' && alarm.state === 'UNACK');
  const fresh = high.filter((alarm) => !before.has(alarm.occurrenceId));
  return {
    announced: new Set(high.map((alarm) => alarm.occurrenceId)),
    words: announcement(fresh, nameOf, whatOf),
  };
}

function announcement(
  fresh: readonly AlarmView[],
  nameOf: (alarm: AlarmView) => string,
  whatOf: (alarm: AlarmView) => string,
): string | null {
  const [first] = fresh;
  if (first === undefined) return null;
  return fresh.length === 1
    ? `High alarm, ${nameOf(first)}: ${whatOf(first)}`
    : `${fresh.length} new high alarms`;
}
