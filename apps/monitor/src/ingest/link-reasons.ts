import { type Reason, reason } from '@edge-margin/units';
import { takenOver } from './link-state.js';
import { wordsOfCode } from './reason-codes.js';

/** The cause of a `down` that the broker gave as a reason code. */
export function causeOf(reasonCode: number): string {
  return reasonCode === sessionTakenOver ? takenOver : `mqtt-${reasonCode}`;
}

/** MQTT 5.0, 3.14.2.1: what the broker says to the connection that it ends for a newer one with the same client id. */
const sessionTakenOver = 0x8e;

/** The broker has said goodbye. */
export function disconnectedBy(reasonCode: number, clientId: string): Reason {
  const text =
    reasonCode === sessionTakenOver
      ? `another client connected under our client id ${clientId} (0x8E)`
      : `the broker disconnected us: ${wordsOfCode(reasonCode)}`;
  return reason('link-down', text, { cause: causeOf(reasonCode) });
}

/** The broker has let us in, and then not answered. */
export function subscriptionUnanswered(afterMs: number): Reason {
  const text = `the broker took the connection and did not answer our subscription within ${afterMs / 1000} s`;
  return reason('link-down', text, { cause: 'subscribe-unanswered' });
}

/** We have ended the connection. */
export const stopped: Reason = reason('link-down', 'stopped', { cause: 'stopped' });

/** The broker let us in as somebody new. */
export const sessionForgotten: Reason = reason(
  'session-lost',
  'the broker had not kept our session: what was sent while there was no connection did not come',
);
