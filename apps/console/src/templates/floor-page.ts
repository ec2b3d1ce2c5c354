import { html, nothing, type TemplateResult } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import { type ActNext, actNext } from '../model/act-next.js';
import { countWords } from '../model/alarm-words.js';
import { type FloorRow, floorRow } from '../model/floor-words.js';
import { gaugeData } from '../model/gauge-data.js';
import { livenessWords } from '../model/liveness.js';
import { shortMarkLength } from '../model/marks.js';
import type { StationContext } from '../model/station-context.js';
import { pageClock } from './clock.js';
import type { PageView } from './page-view.js';
import { plate } from './plate.js';
import { smallBar } from './radius-bar.js';

/** Up to this many stations stand in one column with wide bars; twelve fit without scrolling. */
const fewStations = 6;
/** More than this in the strip are counted, not named. */
const stripLength = 5;

/** All winders: every station in its place on the floor, and who acts next above them. */
export function floorPage({ contexts }: PageView): TemplateResult {
  const rows = contexts.map(floorRow);
  const fullM = Math.max(...contexts.map(rollEnd), 0.01);
  const few = rows.length <= fewStations;
  const longMarks = rows.some((row) => row.mark.length > shortMarkLength);
  const className = ['floor', few ? 'few' : '', rows.length > 12 ? 'many' : '', longMarks ? 'long-marks' : '']
    .filter((name) => name !== '')
    .join(' ');
  return html`<main>
    ${strip(contexts, rows)}
    <ol class=${className} data-rows=${Math.ceil(rows.length / 2)} aria-label="Winders in floor order">
      ${repeat(
        contexts,
        (context) => `${context.winder.id}/${context.station.id}`,
        (context, at) => floorCell(context, rows[at], fullM, few),
      )}
    </ol>
  </main>`;
}

function floorCell(
  context: StationContext,
  row: FloorRow | undefined,
  fullM: number,
  few: boolean,
): TemplateResult | typeof nothing {
  if (row === undefined) return nothing;
  const data = gaugeData(context);
  const [width, height] = few ? [1060, 110] : [596, 60];
  return html`<li class="w">
    <a
      class="num ${row.mark.length > shortMarkLength ? 'long' : ''}"
      href=${row.href}
      aria-label=${row.sentence}
      >${row.mark}</a
    >
    ${plate(row.level, 'row', html`<span aria-hidden="true">${row.words}</span>`)}
    <div class="by" aria-hidden="true">
      ${row.actWords === '' ? row.endWords : html`${row.actWords === 'now' ? 'act' : 'by'} <b>${row.actWords}</b>`}
    </div>
    ${smallBar(data === null ? null : { ...data, fullM: Math.max(fullM, data.fullM) }, row.level, width, height)}
    <div class="why" aria-hidden="true">${row.why}</div>
  </li>`;
}

/** All rolls are drawn to one scale: that of the largest. */
function rollEnd(context: StationContext): number {
  return gaugeData(context)?.fullM ?? 0;
}

function strip(contexts: readonly StationContext[], rows: readonly FloorRow[]): TemplateResult {
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
  return html`<ol aria-label="Who acts next">
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
