import { html, type TemplateResult } from 'lit';
import type { TrendPoints } from '../drawing/trend-columns.js';
import type { StationContext } from '../model/station-context.js';
import type { TrendLane } from '../model/trend-lanes.js';
import { valueWords } from '../model/trend-sentence.js';

const rowCount = 12;

/** The trends as numbers: the last value at or before each of twelve instants. */
export function trendTable(
  lanes: readonly TrendLane[],
  lines: ReadonlyMap<string, TrendPoints>,
  { system, since }: StationContext,
): TemplateResult {
  const columns = lanes.flatMap((lane) =>
    lane.lines.filter((line) => (lines.get(line.field)?.length ?? 0) > 0).map((line) => ({ lane, line })),
  );
  const instants = instantsOf([...lines.values()]);
  return html`<div class="frame" role="region" aria-label="Trends as a table" tabindex="0">
    <table>
      <thead>
        <tr>
          <th scope="col">time</th>
          ${columns.map(({ lane, line }) => html`<th scope="col" class="number">${lane.title}${line.end === null ? '' : `, ${line.end} side`}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${instants.map(
          (atMs) =>
            html`<tr>
              <th scope="row">${since(atMs)}</th>
              ${columns.map(({ lane, line }) => {
                const value = valueAt(lines.get(line.field) ?? [], atMs);
                return html`<td class="number">
                  ${value === null ? 'no data' : valueWords(lane, value, system)}
                </td>`;
              })}
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}

function instantsOf(lines: readonly TrendPoints[]): readonly number[] {
  const first = lines.reduce((least, line) => Math.min(least, line[0]?.[0] ?? Infinity), Infinity);
  const last = lines.reduce((most, line) => Math.max(most, line.at(-1)?.[0] ?? -Infinity), -Infinity);
  if (first >= last) return [];
  return Array.from({ length: rowCount }, (_, at) => last - ((last - first) * at) / (rowCount - 1));
}

/** After this long behind a line's last point nothing is known of it. */
const silentMs = 60_000;

function valueAt(line: TrendPoints, atMs: number): number | null {
  const point = line.findLast(([at]) => at <= atMs + 1);
  if (point === undefined || (point === line.at(-1) && atMs - point[0] > silentMs)) return null;
  return point[1];
}
