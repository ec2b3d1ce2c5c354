import { type Label, type PlacedLabel, placeLabels } from '../drawing/place-labels.js';
import type { GaugeData } from '../drawing/gauge-scale.js';
import type { GaugeShapes } from '../drawing/radius-gauge.js';
import { numberWords, quantityWords } from './quantity-words.js';
import type { StationContext } from './station-context.js';

interface Paper {
  readonly width: number;
  /** Text height. */
  readonly size: number;
}

export interface GaugeLabel extends PlacedLabel {
  readonly y: number;
}

/**
 * The gauge's words: the boundary above, now, by, core and end below, the scale inside. Where room fails they go in this order: expected, latest,
 * core; now and earliest always stay.
 */
export function gaugeLabels(
  context: StationContext,
  data: GaugeData,
  shapes: GaugeShapes,
  paper: Paper,
): readonly GaugeLabel[] {
  const above = placeLabels(boundaryLabels(context, data, shapes, paper.size), 0, paper.width);
  const below = placeLabels(axisLabels(context, data, shapes, paper.size), 0, paper.width);
  const bottom = shapes.frame.y + shapes.frame.height + paper.size * 1.08;
  return [
    ...above.map((label) => ({ ...label, y: shapes.frame.y - paper.size * 0.5 })),
    ...below.map((label) => ({ ...label, y: bottom })),
    ...scaleLabels(shapes, paper.size),
  ];
}

function boundaryLabels(
  { system }: StationContext,
  data: GaugeData,
  shapes: GaugeShapes,
  size: number,
): readonly Label[] {
  if (data.boundary === null) return [];
  const { earliestM, expectedM, latestM } = data.boundary;
  const at = (kind: string) => shapes.marks.find((mark) => mark.kind === kind)?.x;
  const labels: Label[] = [];
  const add = (key: string, x: number | undefined, words: string, anchor: Label['anchor'], bold: boolean) => {
    if (x !== undefined) labels.push({ key, text: words, x, anchor, fontSize: size, bold });
  };
  const same = at('earliest') === at('expected');
  add(
    'earliest',
    at('earliest'),
    same
      ? `since ${numberWords('diameter', earliestM, system)}`
      : `earliest ${numberWords('diameter', earliestM, system)}`,
    'end',
    true,
  );
  if (!same && latestM !== null)
    add('latest', at('latest'), `${numberWords('diameter', latestM, system)} latest`, 'start', false);
  if (!same) add('expected', at('expected'), numberWords('diameter', expectedM, system), 'middle', false);
  return labels;
}

function axisLabels(
  { system }: StationContext,
  data: GaugeData,
  shapes: GaugeShapes,
  size: number,
): readonly Label[] {
  const words = (d: number) => numberWords('diameter', d, system);
  const labels: Label[] = [];
  const add = (key: string, x: number | null, text: string, bold: boolean) => {
    if (x !== null) labels.push({ key, text, x, anchor: 'middle', fontSize: bold ? size : size * 0.9, bold });
  };
  add('now', shapes.nowX, `now ${words(data.nowM)}`, true);
  add('by', shapes.byX, `by ${data.byM === null ? '' : words(data.byM)}`, true);
  add(
    'end',
    shapes.endX,
    `set end ${data.setEndM === null ? '' : quantityWords('diameter', data.setEndM, system)}`,
    false,
  );
  add('core', shapes.coreWall.x + shapes.coreWall.width / 2, `core ${words(data.coreM)}`, false);
  labels.push({ key: 'axis', text: 'diameter', x: 4, anchor: 'start', fontSize: size * 0.9, bold: false });
  return labels;
}

function scaleLabels({ frame, zeroY }: GaugeShapes, size: number): readonly GaugeLabel[] {
  const at = (key: string, text: string, y: number): GaugeLabel => {
    const left = frame.x + size * 0.3;
    return {
      key,
      text,
      x: left,
      left,
      right: left + 4 * size,
      y,
      anchor: 'start',
      fontSize: size * 0.83,
      bold: false,
    };
  };
  return [
    at('scale-100', '100 %', frame.y + size * 0.85),
    at('scale-50', '50', (frame.y + zeroY) / 2 + size * 0.85),
  ];
}
