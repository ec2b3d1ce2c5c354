import { html, nothing, type TemplateResult } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import { type FloorRow, floorRow } from '../model/floor-words.js';
import { gaugeData } from '../model/gauge-data.js';
import { shortMarkLength } from '../model/marks.js';
import type { GaugeData } from '../drawing/gauge-scale.js';
import { actNextStrip } from './act-next-strip.js';
import type { PageView } from './page-view.js';
import { plate } from './plate.js';
import { type BarScale, barScale, smallBar } from './radius-bar.js';

/** Up to this many stations stand in one column with wide bars; twelve fit without scrolling. */
const fewStations = 6;

/** All winders: every station in its place on the floor, and who acts next above them. */
export function floorPage({ contexts }: PageView): TemplateResult {
  const rows = contexts.map(floorRow);
  const few = rows.length <= fewStations;
  const rolls = contexts.map(gaugeData);
  const [width, height] = few ? [940, 120] : [596, 60];
  const scale = barScale(
    rolls.filter((roll) => roll !== null),
    width,
    height,
  );
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
        (_context, at) => floorCell(rows[at], rolls[at] ?? null, scale),
      )}
    </ol>
  </main>`;
}

function floorCell(
  row: FloorRow | undefined,
  roll: GaugeData | null,
  scale: BarScale,
): TemplateResult | typeof nothing {
  if (row === undefined) return nothing;
  return html`<li class="w">
    <a class="num ${markSize(row.mark)}" href=${row.href} aria-label=${row.sentence}>${row.mark}</a>
    ${plate(row.level, 'row', html`<span aria-hidden="true">${row.words}</span>`)}
    <div class="by" aria-hidden="true">
      ${row.actWords === '' ? row.endWords : html`${row.actWords === 'now' ? 'act' : 'by'} <b>${row.actWords}</b>`}
    </div>
    ${smallBar(roll, row.level, scale)}
    <div class="why" aria-hidden="true">${row.why}</div>
  </li>`;
}

function markSize(mark: string): '' | 'mid' | 'long' {
  if (mark.length > shortMarkLength) return 'long';
  return mark.length > 2 ? 'mid' : '';
}
