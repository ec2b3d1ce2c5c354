import type { Connection } from './connection.js';
import { records } from './record-tables.js';

/** A message that must leave the service; it is sent at least once, and its id lets the receiver know it again. */
export interface OutboxMessage {
  readonly id: string;
  readonly topic: string;
  readonly payload: string;
  readonly retain: boolean;
  readonly qos: 0 | 1 | 2;
}

export interface Outbox {
  /** Adds messages whose ids were not added before. */
  readonly add: (messages: readonly OutboxMessage[]) => void;
  /** The oldest messages not sent yet, in the order in which they were added. */
  readonly pending: (limit: number) => readonly OutboxMessage[];
  readonly pendingCount: () => number;
  /** Notes that messages were taken by their receiver; their ids stay known. */
  readonly markSent: (ids: readonly string[], sentAtMs: number) => void;
  /** Forgets messages sent before `beforeMs`, at most `workRows` in one call; gives how many. */
  readonly forgetSent: (beforeMs: number, workRows: number) => number;
}

/** The outbox on the open connection. */
export function createOutbox(connection: Connection): Outbox {
  const insert = connection.prepare(
    'INSERT OR IGNORE INTO outbox (id, topic, payload, retain, qos) VALUES (?, ?, ?, ?, ?)',
  );
  const markSent = connection.prepare('UPDATE outbox SET sent_at_ms = ? WHERE id = ? AND sent_at_ms IS NULL');
  const count = connection.prepare('SELECT count(*) FROM outbox WHERE sent_at_ms IS NULL').pluck();
  const forget = connection.prepare(
    'DELETE FROM outbox WHERE number IN (SELECT number FROM outbox WHERE sent_at_ms < ? ORDER BY sent_at_ms LIMIT ?)',
  );
  return {
    add: (messages) =>
      connection.transaction(() => {
        for (const { id, topic, payload, retain, qos } of messages)
          insert.run(id, topic, payload, Number(retain), qos);
      }),
    pending: (limit) => {
      const query = records
        .selectFrom('outbox')
        .selectAll()
        .where('sent_at_ms', 'is', null)
        .orderBy('number')
        .limit(limit);
      return connection.all(query.compile()).map(({ id, topic, payload, retain, qos }) => ({
        id,
        topic,
        payload,
        retain: retain === 1,
        qos: qos as OutboxMessage['qos'],
      }));
    },
    pendingCount: () => connection.guard(() => count.get() as number),
    markSent: (ids, sentAtMs) =>
      connection.transaction(() => {
        for (const id of ids) markSent.run(sentAtMs, id);
      }),
    forgetSent: (beforeMs, workRows) => connection.transaction(() => forget.run(beforeMs, workRows).changes),
  };
}
