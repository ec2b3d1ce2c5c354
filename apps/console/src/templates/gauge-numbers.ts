import { html, nothing, svg, type SVGTemplateResult, type TemplateResult } from 'lit';
import type { GaugeBox, GaugeData } from '../drawing/gauge-scale.js';
import { type GaugeShapes, chanceAtEnd } from '../drawing/radius-gauge.js';
import { chanceTitle, chanceWords } from '../model/chance-words.js';
import type { StationContext } from '../model/station-context.js';

/** The number is read before the drawing. */
export function chanceNow({ station }: StationContext, data: GaugeData): TemplateResult {
  const risk = station.assessment?.risk;
  const title = `${chanceTitle(risk?.meaning ?? 'wraps-free-to-move')}, now`;
  const words = data.live && risk?.now.kind === 'known' ? chanceWords(risk.now.value) : 'not known';
  return html`<p class="gauge-number">
    <b class=${words.length > 6 ? 'long' : words.length > 4 ? 'mid' : ''}>${words}</b> <span>${title}</span>
  </p>`;
}

/** In a narrow window: what stands right of the end otherwise. */
export function chancesAtEnd(data: GaugeData): TemplateResult {
  const end = chanceAtEnd(data.ahead, data);
  const after = chanceAtEnd(data.after, data);
  return html`<p class="gauge-ends">
    ${end === null ? nothing : html`<span>at set end <b>${chanceWords(end)}</b></span>`}
    ${after === null ? nothing : html`<span>if changed <b>${chanceWords(after)}</b></span>`}
  </p>`;
}

export function endNumbers(
  data: GaugeData,
  shapes: GaugeShapes,
  box: GaugeBox,
  p: number,
): SVGTemplateResult | typeof nothing {
  const end = chanceAtEnd(data.ahead, data);
  const after = chanceAtEnd(data.after, data);
  if (end === null || shapes.endX === null) return nothing;
  const x = shapes.endX + 14 * p;
  const y = (chance: number): number => box.top + box.plot * (1 - chance);
  const endY = Math.min(Math.max(y(end) + 26 * p, box.top + 32 * p), shapes.zeroY);
  const afterY = Math.max(y(after ?? 0) + 2 * p, endY + 80 * p);
  return svg`<text class="g-text" x=${x} y=${endY} font-size=${56 * p}>${chanceWords(end)}</text>
    <text class="g-text soft" x=${x} y=${endY + 32 * p} font-size=${28 * p}>at set end</text>
    ${
      after === null
        ? nothing
        : svg`<text class="g-text" x=${x} y=${afterY} font-size=${40 * p}>${chanceWords(after)}</text>
      <text class="g-text soft" x=${x} y=${afterY + 30 * p} font-size=${28 * p}>if changed</text>`
    }`;
}
