import type { AlarmTransition } from '@edge-margin/alarms';
import type { Effect } from '@edge-margin/monitoring';
import type { JournalRow } from '@edge-margin/telemetry';

/** Effects whose alarm transitions carry the journal row at which they came about: the way from an alarm to its message. */
export function withRow(effects: readonly Effect[], row: JournalRow): readonly Effect[] {
  if (!effects.some(({ kind }) => kind === 'alarm-transition')) return effects;
  const origin = originOf(row);
  return effects.map((effect) =>
    effect.kind === 'alarm-transition'
      ? { ...effect, transition: { ...effect.transition, row: origin } }
      : effect,
  );
}

function originOf(row: JournalRow): NonNullable<AlarmTransition['row']> {
  const { position, kind, arrivedAtMs } = row;
  return { position, kind, arrivedAtMs, ...(row.kind === 'message' ? { topic: row.topic } : {}) };
}
