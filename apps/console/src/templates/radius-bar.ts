import { html, nothing, svg, type SVGTemplateResult, type TemplateResult } from 'lit';
import { type GaugeBox, type GaugeData, type Rect, boreDiameter, leftFor } from '../drawing/gauge-scale.js';
import { type GaugeShapes, gaugeShapes } from '../drawing/radius-gauge.js';
import { tintInk } from '../drawing/tint.js';
import type { Level } from '../model/level.js';
import { smallHatchFill } from './hatch.js';

/** Strokes of a drawing, in its own units. */
export interface Strokes {
  readonly fine: number;
  readonly line: number;
  readonly now: number;
  readonly earliest: number;
  readonly end: number;
}

/** Everything of the gauge that stands below the uprights of boundary, end and now. */
export function gaugeBody(shapes: GaugeShapes, strokes: Strokes, hatch: string): SVGTemplateResult {
  return svg`
    ${rect('g-bed', shapes.bed)}
    ${rect('g-frame', shapes.frame, strokes.fine)}
    ${shapes.band === null ? nothing : rect('g-band', shapes.band)}
    ${shapes.tints.map(({ step, path }) => svg`<path d=${path} fill=${tintInk(step)}></path>`)}
    ${shapes.unknown.map((gap) => svg`<rect fill=${hatch} x=${gap.x} y=${gap.y} width=${gap.width} height=${gap.height}></rect>`)}
    ${path('g-line', shapes.woundLine, strokes.line)}
    ${rect('g-outline', shapes.woundBody, strokes.line)}
    ${shapes.aheadBody === null ? nothing : rect('g-outline', shapes.aheadBody, strokes.line)}
    ${path('g-line', shapes.aheadLine, strokes.line)}
    ${shapes.hatched === null ? nothing : svg`<rect class="g-hatched" fill=${hatch} x=${shapes.hatched.x} y=${shapes.hatched.y} width=${shapes.hatched.width} height=${shapes.hatched.height} stroke-width=${strokes.fine}></rect>`}
  `;
}

/** Uprights, the strongest of which is now. `over` is how far they stand out above and below. */
export function gaugeUprights(shapes: GaugeShapes, strokes: Strokes, over: number): SVGTemplateResult {
  const top = shapes.frame.y;
  const bottom = shapes.frame.y + shapes.frame.height;
  const mark = {
    earliest: [strokes.earliest, ''],
    expected: [strokes.line, ''],
    latest: [strokes.line, `${over} ${over * 0.6}`],
  } as const;
  return svg`
    ${shapes.marks.map(({ kind, x }) => svg`<line class="g-mark" x1=${x} x2=${x} y1=${top - over} y2=${bottom} stroke-width=${mark[kind][0]} stroke-dasharray=${mark[kind][1] === '' ? nothing : mark[kind][1]}></line>`)}
    ${shapes.endX === null ? nothing : svg`<line class="g-end" x1=${shapes.endX} x2=${shapes.endX} y1=${top - over} y2=${bottom + over} stroke-width=${strokes.end}></line>`}
    ${shapes.nowX === null ? nothing : svg`<line class="g-now" x1=${shapes.nowX} x2=${shapes.nowX} y1=${top - over * 1.3} y2=${bottom + over} stroke-width=${strokes.now}></line>`}
  `;
}

const smallStrokes: Strokes = { fine: 1, line: 2, now: 6, earliest: 4, end: 3 };

/** One scale of diameter for all the bars of a page. */
export interface BarScale {
  readonly fullM: number;
  readonly left: number;
  readonly width: number;
  readonly height: number;
}

const smallRight = 4;

/** The scale that holds the largest roll; where even the smallest bore is wide, its inner part is cut off for all rolls alike. */
export function barScale(rolls: readonly GaugeData[], width: number, height: number): BarScale {
  const fullM = Math.max(0.01, ...rolls.map((roll) => roll.fullM));
  const bore = Math.min(fullM, ...rolls.map((roll) => boreDiameter({ ...roll, fullM })));
  const left = bore > widestBore * fullM && bore < fullM ? leftFor(14, bore, fullM, width, smallRight) : 0;
  return { fullM, left, width, height };
}

/** A bore is cut off where it would take more than this share of the scale. */
const widestBore = 0.25;

/** The gauge without words, for a row among all winders: all rolls to one scale of diameter. */
export function smallBar(
  roll: GaugeData | null,
  level: Level,
  { fullM, left, width, height }: BarScale,
): TemplateResult {
  const data = roll === null ? null : { ...roll, fullM };
  const body = Math.round(height * 0.26);
  const box: GaugeBox = { width, left, right: smallRight, top: 8, plot: height - body - 14, body, column: 3 };
  const shapes = data === null ? null : gaugeShapes(data, box);
  return html`<svg class="bar" viewBox="0 0 ${width} ${height}" aria-hidden="true" data-band=${bandOf(level)}>
    ${shapes === null ? nothing : svg`${gaugeBody(shapes, smallStrokes, smallHatchFill)}${smallCore(shapes)}${gaugeUprights(shapes, smallStrokes, 5)}`}
  </svg>`;
}

/** The band about the boundary takes the hue of the alarm behind it, ink where there is none. */
export function bandOf(level: Level): 'high' | 'medium' | 'low' | 'plain' {
  return level === 'high' || level === 'medium' || level === 'low' ? level : 'plain';
}

function smallCore({ coreWall, zeroY, woundBody }: GaugeShapes): SVGTemplateResult {
  return svg`<rect class="g-core" x=${coreWall.x} y=${zeroY} width=${coreWall.width} height=${woundBody.height}></rect>`;
}

function rect(name: string, { x, y, width, height }: Rect, stroke?: number): SVGTemplateResult {
  return svg`<rect class=${name} x=${x} y=${y} width=${width} height=${height} stroke-width=${stroke ?? nothing}></rect>`;
}

function path(name: string, d: string, stroke: number): SVGTemplateResult | typeof nothing {
  return d === '' ? nothing : svg`<path class=${name} d=${d} stroke-width=${stroke}></path>`;
}
