import { html, nothing, type TemplateResult } from 'lit';
import { type ActNext, actNext } from '../model/act-next.js';
import { countWords } from '../model/alarm-words.js';
import type { FloorRow } from '../model/floor-words.js';
import { livenessWords } from '../model/liveness.js';
import { shortMarkLength } from '../model/marks.js';
import type { StationContext } from '../model/station-context.js';
import { pageClock } from './clock.js';
import { plate } from './plate.js';

/** More than this are counted, not named. */
const stripLength = 5;
/** More than this are drawn smaller, so that they stand in one line. */
const roomyLength = 3;

/** Who acts next in order of time, then who is not watched. */
export function actNextStrip(contexts: readonly StationContext[], rows: readonly FloorRow[]): TemplateResult {
  const [any] = contexts;
  return html`<header class="next">
    <h1 tabindex="-1">ACT NEXT</h1>
    ${any === undefined ? html`<p class="quiet">the plant file names no winder</p>` : who(any, rows)}
    ${any === undefined ? nothing : html`<div class="clock">${pageClock(any)}</div>`}
  </header>`;
}

/** With the connection lost nobody here can know who acts next. */
function who(any: StationContext, rows: readonly FloorRow[]): TemplateResult {
  if (any.liveness.kind === 'no-connection')
    return html`<p class="quiet">not known: ${livenessWords(any.liveness, any.since)}</p>`;
  const next = actNext(rows);
  if (next.act.length + next.notWatched.length === 0) return html`<p class="quiet">nothing to act on</p>`;
  return list(next);
}

function list({ act, notWatched }: ActNext): TemplateResult {
  const blind = notWatched.slice(0, Math.max(1, stripLength - act.length));
  const named = Math.min(act.length, stripLength) + blind.length;
  return html`<ol class=${named > roomyLength ? 'tight' : ''} aria-label="Who acts next">
    ${act.slice(0, stripLength).map((row) => html`<li>${mark(row)}${row.actWords}</li>`)}
    ${more(act.length - stripLength, 'to act')}
    ${blind.map((row, at) => html`<li class="blind">${mark(row)}${at === blind.length - 1 ? 'not watched' : ''}</li>`)}
    ${more(notWatched.length - blind.length, 'not watched')}
  </ol>`;
}

function more(count: number, what: string): TemplateResult | typeof nothing {
  return count <= 0 ? nothing : html`<li class="blind">and ${countWords(count)} more ${what}</li>`;
}

function mark(row: FloorRow): TemplateResult {
  return html`<a href=${row.href} aria-label=${row.sentence}
    >${plate(row.level, row.mark.length > shortMarkLength ? 'long' : '', html`<span>${row.mark}</span>`)}</a
  >`;
}
