import type { AlarmTransition } from '@edge-margin/alarms';
import type { Journal } from '@edge-margin/journal';
import type { JournalRowsBody, JournalRowView } from '@edge-margin/monitoring';
import { type JournalRow, payloadSample } from '@edge-margin/telemetry';

export interface JournalRowSources {
  readonly journal: Pick<Journal, 'firstPosition' | 'durable' | 'read'>;
  readonly alarmTransitions: (range: {
    readonly fromMs: number;
    readonly toMs: number;
    readonly limit: number;
  }) => readonly AlarmTransition[];
  /** Strict UTF-8. */
  readonly decode: (bytes: Uint8Array) => string;
}

/** An alarm's own time lies this near to the arrival of the row at which it came about, unless the sources' clocks are wrong, ms. */
const nearMs = 10 * 60_000;

/**
 * Rows of the journal for people.
 * @param from the first position; the last `limit` rows where left out
 */
export function journalRows(
  { journal, alarmTransitions, decode }: JournalRowSources,
  from: number | undefined,
  limit: number,
): JournalRowsBody {
  const firstPosition = journal.firstPosition();
  const lastPosition = journal.durable();
  const begin = Math.max(firstPosition, from ?? lastPosition - limit + 1);
  const rows = journal.read(begin, limit);
  const times = rows.map(({ arrivedAtMs }) => arrivedAtMs);
  const near =
    rows.length === 0
      ? []
      : alarmTransitions({
          fromMs: Math.min(...times) - nearMs,
          toMs: Math.max(...times) + nearMs,
          limit: 1000,
        });
  const view = (row: JournalRow): JournalRowView => ({
    position: row.position,
    kind: row.kind,
    arrivedAtMs: row.arrivedAtMs,
    topic: row.kind === 'message' ? row.topic : null,
    payloadBytes: row.kind === 'message' ? row.payload.length : null,
    sample: sampleOf(row, decode),
    alarms: near
      .filter((transition) => transition.row?.position === row.position)
      .map(({ id, alarm, kind }) => ({ id, alarmKey: alarm.alarmKey, kind })),
  });
  return { firstPosition, lastPosition, rows: rows.map(view) };
}

function sampleOf(row: JournalRow, decode: (bytes: Uint8Array) => string): string | null {
  switch (row.kind) {
    case 'message':
      return payloadSample(row.payload, decode);
    case 'command':
      return `${row.actor}: ${JSON.stringify(row.command)}`.slice(0, 500);
    case 'config':
      return `plant file ${row.revision}`;
    case 'link':
      return `${row.link} ${row.state}${row.detail === undefined ? '' : `: ${row.detail}`}`;
    case 'tick':
      return null;
  }
}
