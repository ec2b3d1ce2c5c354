import { html, type TemplateResult } from 'lit';
import type { ClockWords } from '../model/clock-words.js';
import { type Liveness, shortLiveness } from '../model/liveness.js';

/** Service time, minutes only; a lost connection stops it, because then nobody here knows it. */
export function pageClock({
  nowMs,
  time,
  liveness,
}: {
  nowMs: number;
  time: ClockWords;
  liveness: Liveness;
}): TemplateResult {
  if (liveness.kind === 'no-connection') {
    return html`<small>last heard</small> ${liveness.sinceMs === null ? 'never' : time(liveness.sinceMs)}`;
  }
  return html`<small>now</small> ${nowMs > 0 ? time(nowMs) : ''}`;
}

/** `data live`, or since when not. */
export function liveWords({ liveness, since }: { liveness: Liveness; since: ClockWords }): TemplateResult {
  return html`<span class="live-words ${liveness.kind === 'live' ? '' : 'lost'}"
    >${shortLiveness(liveness, since)}</span
  >`;
}
