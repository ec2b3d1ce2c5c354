import type { AlarmTransition, AlarmView } from '@edge-margin/alarms';
import type { Connection } from './connection.js';
import { records } from './record-tables.js';

export interface TransitionQuery {
  /** Inclusive, epoch ms; open where left out. */
  readonly fromMs?: number;
  /** Exclusive, epoch ms; open where left out. */
  readonly toMs?: number;
  readonly alarmKey?: string;
  readonly limit: number;
}

/** The alarm journal and the alarms that are open (every state but NORM). */
export interface AlarmRecords {
  /** Journals transitions that are not journaled yet, in order, and moves the open alarms along. */
  readonly record: (transitions: readonly AlarmTransition[]) => void;
  /** New words or input quality of alarms whose occurrence is still open; others are passed over. */
  readonly refresh: (views: readonly AlarmView[]) => void;
  /** Newest first. */
  readonly transitions: (query: TransitionQuery) => readonly AlarmTransition[];
  /** The life of one occurrence, oldest first. */
  readonly ofOccurrence: (occurrenceId: string) => readonly AlarmTransition[];
  /** In the order in which they were raised. */
  readonly open: () => readonly AlarmView[];
}

/** The alarm records on the open connection. */
export function createAlarmRecords(connection: Connection): AlarmRecords {
  const insert = connection.prepare(
    'INSERT OR IGNORE INTO alarm_transition (id, at_ms, alarm_key, occurrence_id, json) VALUES (?, ?, ?, ?, ?)',
  );
  const open = connection.prepare(
    'INSERT OR REPLACE INTO open_alarm (alarm_key, occurrence_id, raised_at_ms, json) VALUES (?, ?, ?, ?)',
  );
  const close = connection.prepare('DELETE FROM open_alarm WHERE alarm_key = ?');
  const refresh = connection.prepare(
    'UPDATE open_alarm SET json = ? WHERE alarm_key = ? AND occurrence_id = ?',
  );
  const recordOne = (transition: AlarmTransition): void => {
    const { alarmKey, occurrenceId, raisedAtMs } = transition.alarm;
    const { changes } = insert.run(
      transition.id,
      transition.atMs,
      alarmKey,
      occurrenceId,
      JSON.stringify(transition),
    );
    if (changes === 0) return;
    if (transition.to === 'NORM') close.run(alarmKey);
    else open.run(alarmKey, occurrenceId, raisedAtMs, JSON.stringify(transition.alarm));
  };
  const transitionsOf = (rows: readonly { readonly json: string }[]): readonly AlarmTransition[] =>
    rows.map(({ json }) => JSON.parse(json) as AlarmTransition);
  return {
    record: (transitions) => connection.transaction(() => transitions.forEach(recordOne)),
    refresh: (views) =>
      connection.transaction(() => {
        for (const view of views) refresh.run(JSON.stringify(view), view.alarmKey, view.occurrenceId);
      }),
    transitions: ({ fromMs, toMs, alarmKey, limit }) => {
      let query = records
        .selectFrom('alarm_transition')
        .select('json')
        .orderBy('at_ms', 'desc')
        .orderBy('number', 'desc')
        .limit(limit);
      if (fromMs !== undefined) query = query.where('at_ms', '>=', fromMs);
      if (toMs !== undefined) query = query.where('at_ms', '<', toMs);
      if (alarmKey !== undefined) query = query.where('alarm_key', '=', alarmKey);
      return transitionsOf(connection.all(query.compile()));
    },
    ofOccurrence: (occurrenceId) => {
      const query = records
        .selectFrom('alarm_transition')
        .select('json')
        .where('occurrence_id', '=', occurrenceId)
        .orderBy('number');
      return transitionsOf(connection.all(query.compile()));
    },
    open: () => {
      const query = records
        .selectFrom('open_alarm')
        .select('json')
        .orderBy('raised_at_ms')
        .orderBy('alarm_key');
      return connection.all(query.compile()).map(({ json }) => JSON.parse(json) as AlarmView);
    },
  };
}
