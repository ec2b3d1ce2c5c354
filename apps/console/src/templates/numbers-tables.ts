import { html, nothing, type TemplateResult } from 'lit';
import type { GaugeData } from '../drawing/gauge-scale.js';
import { chanceTitle } from '../model/chance-words.js';
import { radiusRows, readingRows } from '../model/numbers-table.js';
import type { StationContext } from '../model/station-context.js';

/** The pictures' numbers one step away, and the readings behind them. */
export function numbersTables(context: StationContext, data: GaugeData | null): TemplateResult {
  const assessment = context.station.assessment;
  return html`<details>
    <summary>the same numbers as tables, and the readings used</summary>
    <div class="numbers">
      ${data === null ? nothing : radiusTable(context, data)}
      ${assessment === null ? nothing : readingsTable(context)}
      ${assessment === null ? nothing : html`<p class="quiet">Grade ${assessment.grade.name}; rated rolls: ${assessment.grade.ratedRolls}. Model ${assessment.modelRevision}, configuration ${assessment.configurationRevision}.</p>`}
    </div>
  </details>`;
}

function radiusTable(context: StationContext, data: GaugeData): TemplateResult {
  const title = chanceTitle(context.station.assessment?.risk.meaning ?? 'wraps-free-to-move');
  return html`<div class="frame">
    <table>
      <caption>
        Along the diameter
      </caption>
      <thead>
        <tr>
          <th scope="col">diameter</th>
          <th scope="col"></th>
          <th scope="col" class="number">${title}</th>
        </tr>
      </thead>
      <tbody>
        ${radiusRows(data, context).map(
          (row) =>
            html`<tr>
              <th scope="row">${row.diameter}</th>
              <td>${row.what}</td>
              <td class="number">${row.chance}</td>
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}

function readingsTable(context: StationContext): TemplateResult {
  return html`<div class="frame">
    <table>
      <caption>
        Readings used
      </caption>
      <thead>
        <tr>
          <th scope="col">signal</th>
          <th scope="col" class="number">value</th>
          <th scope="col">at</th>
          <th scope="col">quality</th>
        </tr>
      </thead>
      <tbody>
        ${readingRows(context.station.assessment?.inputs ?? [], context).map(
          (row) =>
            html`<tr>
              <th scope="row">${row.signal}</th>
              <td class="number">${row.value}</td>
              <td>${row.at}</td>
              <td>${row.quality}</td>
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}
