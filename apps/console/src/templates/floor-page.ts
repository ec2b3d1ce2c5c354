import { html, nothing, type TemplateResult } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import { type FloorRow, floorRow } from '../model/floor-words.js';
import { gaugeData } from '../model/gauge-data.js';
import { shortMarkLength } from '../model/marks.js';
import type { StationContext } from '../model/station-context.js';
import { actNextStrip } from './act-next-strip.js';
import type { PageView } from './page-view.js';
import { plate } from './plate.js';
import { smallBar } from './radius-bar.js';

/** Up to this many stations stand in one column with wide bars; twelve fit without scrolling. */
const fewStations = 6;

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
    ${actNextStrip(contexts, rows)}
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
  const [width, height] = few ? [940, 120] : [596, 60];
  return html`<li class="w">
    <a class="num ${markSize(row.mark)}" href=${row.href} aria-label=${row.sentence}>${row.mark}</a>
    ${plate(row.level, 'row', html`<span aria-hidden="true">${row.words}</span>`)}
    <div class="by" aria-hidden="true">
      ${row.actWords === '' ? row.endWords : html`${row.actWords === 'now' ? 'act' : 'by'} <b>${row.actWords}</b>`}
    </div>
    ${smallBar(data === null ? null : { ...data, fullM: Math.max(fullM, data.fullM) }, row.level, width, height)}
    <div class="why" aria-hidden="true">${row.why}</div>
  </li>`;
}

function markSize(mark: string): '' | 'mid' | 'long' {
  if (mark.length > shortMarkLength) return 'long';
  return mark.length > 2 ? 'mid' : '';
}

/** All rolls are drawn to one scale: that of the largest. */
function rollEnd(context: StationContext): number {
  return gaugeData(context)?.fullM ?? 0;
}
