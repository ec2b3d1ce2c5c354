import { type End, ENDS } from '../winder/ends.js';
import { axisSteps } from './axis-steps.js';
import { edgeEnvelope } from './edge-envelope.js';
import type { RollEdges } from './roll-edges.js';

const WIDTH = 640;
const HEIGHT = 400;
const TOP = 64;
const BOTTOM = 344;
const PANELS: Readonly<Record<End, { readonly left: number; readonly right: number }>> = {
  tending: { left: 64, right: 300 },
  drive: { left: 356, right: 592 },
};
const EDGE_SHARE = 0.5; // the nominal edge lies in the middle of its panel
const LEAST_REACH_M = 0.25e-3; // never magnified more than this fills half a panel
const STYLE =
  'text{font:12px sans-serif;fill:#222}.small{font-size:11px;fill:#555}.web{fill:#d9cdb8}.spread{fill:#7a5c2e}' +
  '.rough{fill:#b3261e}.axis{stroke:#555;stroke-width:1;fill:none}.grid{stroke:#ccc;stroke-width:.5}' +
  '.nominal{stroke:#555;stroke-width:1;stroke-dasharray:3 3}';

/**
 * A finished roll cut through its axis, as SVG text: core below, surface above, the tending edge on the left and the drive
 * edge on the right, the middle left out. Light: where every wrap reaches; dark: between the shortest and the longest wrap
 * at that radius; a red bar: rough by the truth. Sideways magnified, both axes in mm. The same roll, the same bytes.
 */
export function drawRoll(roll: RollEdges): string {
  const reachM = niceReach(roll);
  const frame = { innerM: roll.coreRadiusM, outerM: roll.outerRadiusM, reachM };
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" width="${WIDTH}" height="${HEIGHT}" role="img" aria-label="${escaped(roll.title)}: both edges over radius, simulated">`,
    `<style>${STYLE}</style><rect width="${WIDTH}" height="${HEIGHT}" fill="#fff"/>`,
    text(64, 22, `${roll.title} (simulated)`),
    text(64, 40, 'Both edges of the finished roll, cut through the axis; sideways magnified', 'small'),
    ...ENDS.map((end) => panel(roll, end, frame)),
    radiusAxis(frame),
    text(WIDTH / 2, HEIGHT - 8, 'dark: shortest to longest wrap; red bar: rough', 'small', 'middle'),
    '</svg>',
    '',
  ].join('\n');
}

interface Frame {
  readonly innerM: number;
  readonly outerM: number;
  readonly reachM: number;
}

function niceReach({ wraps }: RollEdges): number {
  const most = wraps.reduce(
    (sofar, wrap) => Math.max(sofar, Math.abs(wrap.tendingM), Math.abs(wrap.driveM)),
    LEAST_REACH_M,
  );
  return Math.max(LEAST_REACH_M, most * 1.05);
}

function panel(roll: RollEdges, end: End, frame: Frame): string {
  const { left, right } = PANELS[end];
  return [
    `<g><title>${end} edge</title>`,
    sideAxis(end, frame),
    edgeShape(roll, end, frame),
    roughBars(roll, end, frame),
    line('nominal', middle(end), TOP, middle(end), BOTTOM),
    text((left + right) / 2, TOP - 8, `${end} edge`, '', 'middle'),
    '</g>',
  ].join('\n');
}

/** The roll's body up to its shortest wraps, and the spread up to its longest. */
function edgeShape(roll: RollEdges, end: End, frame: Frame): string {
  const edge = roll.wraps.map((wrap) => ({
    radiusM: wrap.radiusM,
    placeM: end === 'tending' ? wrap.tendingM : wrap.driveM,
  }));
  const rows = edgeEnvelope(edge, { ...frame, rows: BOTTOM - TOP });
  if (rows.length === 0) return '';
  const along = (place: 'leastM' | 'mostM') =>
    rows.map((row) => `${figure(across(end, row[place], frame))},${figure(up(row.radiusM, frame))}`);
  const body = end === 'tending' ? PANELS.tending.right : PANELS.drive.left;
  const short = along(end === 'tending' ? 'mostM' : 'leastM');
  const long = along(end === 'tending' ? 'leastM' : 'mostM');
  const [first, last] = [rows[0], rows.at(-1)] as const;
  const corners = [last, first].map((row) => `${body},${figure(up(row?.radiusM ?? 0, frame))}`);
  return (
    `<polygon class="web" points="${[...short, ...corners].join(' ')}"/>` +
    `<polygon class="spread" points="${[...long, ...short.reverse()].join(' ')}"/>`
  );
}

function roughBars(roll: RollEdges, end: End, frame: Frame): string {
  const x = end === 'tending' ? PANELS.tending.left + 2 : PANELS.drive.right - 8;
  return roll.rough
    .filter((stretch) => stretch.end === end)
    .map(({ innerRadiusM, outerRadiusM }) => {
      const top = up(Math.min(outerRadiusM, frame.outerM), frame);
      const height = up(Math.max(innerRadiusM, frame.innerM), frame) - top;
      return `<rect class="rough" x="${x}" y="${figure(top)}" width="6" height="${figure(Math.max(1, height))}"/>`;
    })
    .join('');
}

function sideAxis(end: End, frame: Frame): string {
  const { left, right } = PANELS[end];
  const reachMm = frame.reachM * 1000;
  const steps = axisSteps(-reachMm, reachMm, 6);
  const marks = steps.map((mm) => {
    const x = figure(across(end, mm / 1000, frame));
    return `${line('grid', x, TOP, x, BOTTOM)}${text(Number(x), BOTTOM + 15, String(mm), 'small', 'middle')}`;
  });
  return `${marks.join('')}<rect class="axis" x="${left}" y="${TOP}" width="${right - left}" height="${BOTTOM - TOP}"/>${text((left + right) / 2, BOTTOM + 30, 'from nominal edge, mm', 'small', 'middle')}`;
}

function radiusAxis(frame: Frame): string {
  const marks = axisSteps(frame.innerM * 1000, frame.outerM * 1000, 6).map((mm) => {
    const y = up(mm / 1000, frame);
    const [a, b] = [PANELS.tending.left, PANELS.drive.left];
    return `${line('axis', a - 4, figure(y), a, figure(y))}${line('axis', b - 4, figure(y), b, figure(y))}${text(a - 7, y + 4, String(mm), 'small', 'end')}`;
  });
  const name = `<text class="small" transform="translate(14 ${(TOP + BOTTOM) / 2}) rotate(-90)" text-anchor="middle">radius, mm</text>`;
  return `<g>${marks.join('')}${name}</g>`;
}

function middle(end: End): number {
  const { left, right } = PANELS[end];
  return left + EDGE_SHARE * (right - left);
}

function across(end: End, placeM: number, { reachM }: Frame): number {
  const { left, right } = PANELS[end];
  return middle(end) + (placeM / reachM) * ((right - left) / 2);
}

function up(radiusM: number, { innerM, outerM }: Frame): number {
  return BOTTOM - ((radiusM - innerM) / (outerM - innerM)) * (BOTTOM - TOP);
}

function line(
  kind: string,
  x1: number | string,
  y1: number | string,
  x2: number | string,
  y2: number | string,
): string {
  return `<line class="${kind}" x1="${x1}" y1="${y1}" x2="${x2}" y2="${y2}"/>`;
}

function text(x: number, y: number, content: string, kind = '', anchor = 'start'): string {
  return `<text class="${kind}" x="${figure(x)}" y="${figure(y)}" text-anchor="${anchor}">${escaped(content)}</text>`;
}

function figure(value: number): string {
  return String(Number(value.toFixed(1)));
}

function escaped(content: string): string {
  return content
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}
