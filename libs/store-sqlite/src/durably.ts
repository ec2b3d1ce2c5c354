import type { Connection } from './connection.js';

/**
 * One transaction that is on the disk when it returns: for what no journal row could bring back after a power cut (who may come in, who
 * was sent away). Costs a sync, so only for what people do.
 */
export function durably<T>(connection: Connection, work: () => T): T {
  connection.pragma('synchronous = FULL');
  try {
    return connection.transaction(work);
  } finally {
    connection.pragma('synchronous = NORMAL');
  }
}
