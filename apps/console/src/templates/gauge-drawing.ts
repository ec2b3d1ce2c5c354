import { html, nothing, svg, type SVGTemplateResult, type TemplateResult } from 'lit';
import type { GaugeBox, GaugeData } from '../drawing/gauge-scale.js';
import { type GaugeShapes, gaugeShapes } from '../drawing/radius-gauge.js';
import { type GaugeLabel, gaugeLabels } from '../model/gauge-labels.js';
import { shortLiveness } from '../model/liveness.js';
import { reasonWords } from '../model/reason-words.js';
import { stateWords } from '../model/state-words.js';
import type { StationContext } from '../model/station-context.js';
import { type Paper, boxFor, isWide, textUnits } from './gauge-box.js';
import { endNumbers } from './gauge-numbers.js';
import { hatchFill } from './hatch.js';
import { bandOf, gaugeBody, gaugeUprights } from './radius-bar.js';

/** The gauge at its full size, drawn for the width it has. */
export function gaugeDrawing(context: StationContext, data: GaugeData, paper: Paper): TemplateResult {
  const wide = isWide(paper);
  const p = paper.unit;
  const size = Math.max(textUnits * p, 14);
  const box = boxFor(data, paper, size);
  const shapes = gaugeShapes(data, box);
  const height = shapes.zeroY + box.body + size * 1.3;
  const strokes = {
    fine: Math.max(1, 2 * p),
    line: Math.max(1.5, 3 * p),
    now: Math.max(5, 9 * p),
    earliest: Math.max(3, 6 * p),
    end: Math.max(2, 4 * p),
  };
  return html`<svg
    height=${height}
    viewBox="0 0 ${paper.width} ${height}"
    aria-hidden="true"
    data-band=${bandOf(stateWords(context).level)}
  >
    ${gaugeBody(shapes, strokes, hatchFill)} ${helpLine(shapes, box, strokes.fine)} ${after(shapes, p)}
    ${core(shapes, box, p)} ${gaugeUprights(shapes, strokes, 10 * p)} ${byMark(shapes, box, p)}
    ${gaugeLabels(context, data, shapes, { width: paper.width, size }).map(text)}
    ${wide ? endNumbers(data, shapes, box, p) : nothing} ${sentenceInside(context, data, shapes, box, size)}
  </svg>`;
}

/** Dotted: the outlook if the change is made. */
function after({ afterLine }: GaugeShapes, p: number): SVGTemplateResult | typeof nothing {
  if (afterLine === '') return nothing;
  const width = Math.max(2, 4 * p);
  return svg`<path class="g-after" d=${afterLine} stroke-width=${width} stroke-dasharray="${width * 0.1} ${width * 2.2}"></path>`;
}

function helpLine(shapes: GaugeShapes, box: GaugeBox, stroke: number): SVGTemplateResult {
  const y = box.top + box.plot / 2;
  return svg`<line class="g-help" x1=${shapes.frame.x} x2=${shapes.frame.x + shapes.frame.width} y1=${y} y2=${y} stroke-width=${stroke}></line>`;
}

/** The tube's wall with its bore open, and the roll's centre line; where the scale was shifted to make room, the number stands in its place. */
function core(shapes: GaugeShapes, box: GaugeBox, p: number): SVGTemplateResult {
  const { x, y, width, height } = shapes.coreWall;
  return svg`<rect class="g-core" x=${x} y=${y} width=${width} height=${height}></rect>
    ${box.left !== 0 ? nothing : svg`<line class="g-centre" x1=${box.left + 2} x2=${box.left + 2} y1=${8 * p} y2=${y + height + 8 * p} stroke-width=${Math.max(1, 3 * p)} stroke-dasharray="${34 * p} ${8 * p} ${6 * p} ${8 * p}"></line>`}`;
}

function byMark(shapes: GaugeShapes, box: GaugeBox, p: number): SVGTemplateResult | typeof nothing {
  if (shapes.byX === null) return nothing;
  const half = Math.max(15 * p, 7);
  const y = shapes.zeroY + box.body + 3 * p;
  return svg`<path class="g-by" d="M${shapes.byX - half} ${y}h${2 * half}l${-half} ${-1.5 * half}z"></path>`;
}

function text(label: GaugeLabel): SVGTemplateResult {
  const isScale = label.key.startsWith('scale');
  const soft = isScale || label.key === 'end' || label.key === 'core' || label.key === 'axis';
  return svg`<text class="g-text ${label.bold ? 'strong' : ''} ${soft ? 'soft' : ''} ${isScale ? 'on-plot' : ''}" x=${label.left} y=${label.y} font-size=${label.fontSize}>${label.text}</text>`;
}

/** Why there is no outlook, written where it would be. */
function sentenceInside(
  context: StationContext,
  data: GaugeData,
  shapes: GaugeShapes,
  box: GaugeBox,
  size: number,
): SVGTemplateResult | typeof nothing {
  const words = missingWords(context, data);
  const from = Math.max((shapes.hatched?.x ?? shapes.nowX ?? 0) + size, shapes.frame.x + 4 * size);
  const room = shapes.frame.x + shapes.frame.width - from - size;
  const fits = Math.floor(room / (0.58 * size));
  if (words === null) return nothing;
  const shown = [words, words.split(':')[0] ?? words].find((candidate) => candidate.length <= fits);
  if (shown === undefined) return nothing;
  const y = box.top + box.plot / 2;
  return svg`<rect class="g-paper" x=${from - size * 0.4} y=${y - size * 0.9} width=${shown.length * size * 0.58 + size * 0.8} height=${size * 1.6}></rect>
    <text class="g-text strong" x=${from} y=${y + size * 0.3} font-size=${size}>${shown}</text>`;
}

function missingWords({ station, liveness, since, system }: StationContext, data: GaugeData): string | null {
  if (liveness.kind !== 'live') return shortLiveness(liveness, since);
  const assessment = station.assessment;
  if (assessment === null) return null;
  if (assessment.roll?.diameterM.kind === 'unknown')
    return reasonWords(assessment.roll.diameterM.because, since, system);
  return data.ahead.length === 0
    ? `no outlook: ${reasonWords(assessment.forecast.because, since, system)}`
    : null;
}
