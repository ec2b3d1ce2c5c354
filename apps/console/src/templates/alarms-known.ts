import { html, nothing, type TemplateResult } from 'lit';
import type { StationContext } from '../model/station-context.js';

/** With the connection lost the alarms shown are those of the past: the page says of when. */
export function alarmsKnown({ liveness, since }: StationContext): TemplateResult | typeof nothing {
  if (liveness.kind !== 'no-connection') return nothing;
  const when = liveness.sinceMs === null ? 'not known' : `as known at ${since(liveness.sinceMs)}`;
  return html`<p class="quiet">Alarms ${when}; they may have changed</p>`;
}
