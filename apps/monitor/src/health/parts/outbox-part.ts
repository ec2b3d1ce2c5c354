import type { Outbox } from '@edge-margin/store-sqlite';
import { reason } from '@edge-margin/units';
import { figure, type PartReading, sign } from '../part-reading.js';

/**
 * Messages that must leave. They wait while the broker is away; that the first of them does not leave while the broker is there is a trouble
 * of its own.
 */
export function outboxPart(
  outbox: Pick<Outbox, 'pendingCount'>,
  isConnected: boolean,
  isStuck: boolean,
): PartReading {
  const waiting = outbox.pendingCount();
  const stuck =
    isStuck && isConnected
      ? reason('outbox-waiting', `${messages(waiting)} although the broker is there`, { waiting })
      : undefined;
  const away =
    waiting > 0 && !isConnected
      ? reason('broker-away', `${messages(waiting)} for the broker`, { waiting })
      : undefined;
  const because = [stuck, away].filter((one) => one !== undefined);
  return {
    part: 'outbox',
    state: because.length === 0 ? 'ok' : 'degraded',
    because,
    blocks: false,
    figures: [figure('waiting', 'messages waiting', waiting, 'count')],
    // What waits for an absent broker says nothing about whether it would take it.
    troubles: away === undefined ? [sign('outbox-waiting', 'reached', stuck)] : [],
  };
}

function messages(waiting: number): string {
  return waiting === 1 ? '1 message waits' : `${waiting} messages wait`;
}
