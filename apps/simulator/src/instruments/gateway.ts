import { resumeStream, type StreamState } from '../random/random-stream.js';
import type { Gateway } from '../scenario/scenario-schema.js';
import { isWithin } from './instrument.js';
import type { Message } from './message.js';

/** What a gateway keeps: its numbering, what is on its way, and when the last message arrived (it never reorders). */
export interface GatewayState {
  readonly sequence: number;
  readonly underWay: readonly Message[];
  readonly lastArrivalMs: number;
  readonly stream: StreamState;
}

/** Text of a message, given the gateway's number for it and its clock's reading (epoch ms). */
export interface Report {
  readonly topic: string;
  readonly retain: boolean;
  readonly payload: (sequence: number, clockMs: number) => string;
}

export interface GatewayMoment {
  readonly atMs: number;
  readonly atS: number;
  /** Everything that arrives before this leaves now. */
  readonly untilMs: number;
}

/** Takes in reports, numbers and stamps them, loses, doubles, delays or holds them back; hands out what arrives in time. */
export function passOn(
  gateway: Gateway,
  state: GatewayState,
  reports: readonly Report[],
  now: GatewayMoment,
): { readonly state: GatewayState; readonly messages: readonly Message[] } {
  const stream = resumeStream(state.stream);
  const clockMs = now.atMs + gateway.clockOffsetMs + Math.round((gateway.clockDriftPpm * now.atS) / 1000);
  const underWay = [...state.underWay];
  let { sequence, lastArrivalMs } = state;
  for (const report of reports) {
    const payload = report.payload(sequence, clockMs);
    sequence += 1;
    const isLost = stream.uniform() < gateway.lossChance || isWithin(gateway.silent, now.atS);
    const isTwice = stream.uniform() < gateway.duplicateChance;
    const delayMs = gateway.delayMs + Math.floor(gateway.jitterMs * stream.uniform());
    if (isLost) continue;
    lastArrivalMs = Math.max(lastArrivalMs, releaseMs(gateway, now) + delayMs);
    const message = { atMs: lastArrivalMs, topic: report.topic, payload, retain: report.retain };
    underWay.push(message, ...(isTwice ? [message] : []));
  }
  return {
    state: {
      sequence,
      lastArrivalMs,
      stream: stream.state(),
      underWay: underWay.filter((message) => message.atMs >= now.untilMs),
    },
    messages: underWay.filter((message) => message.atMs < now.untilMs),
  };
}

/** Now, or the end of the spell during which everything is held back. */
function releaseMs(gateway: Gateway, now: GatewayMoment): number {
  const spell = gateway.heldBack.find((one) => isWithin([one], now.atS));
  return spell === undefined ? now.atMs : now.atMs + Math.round((spell.fromS + spell.forS - now.atS) * 1000);
}
