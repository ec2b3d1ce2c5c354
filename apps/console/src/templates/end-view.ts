import { html, nothing, svg, type TemplateResult } from 'lit';
import { type EndView, endView } from '../drawing/end-view.js';
import type { GaugeData } from '../drawing/gauge-scale.js';
import { tintInk } from '../drawing/tint.js';
import { smallHatchFill } from './hatch.js';

const box = { width: 270, height: 226, ring: 1.4 } as const;

/** The roll end-on, small and softly, with the nip roller at its place. */
export function endViewPicture(
  data: GaugeData,
  nipDiameterM: number | null,
  finding: string,
): TemplateResult {
  const view = endView(data, nipDiameterM, box);
  const { x, y } = view.centre;
  const circle = (r: number, fill: string) => svg`<circle cx=${x} cy=${y} r=${r} fill=${fill}></circle>`;
  return html`<svg class="end-view" viewBox="0 0 ${box.width} ${box.height}" role="img" aria-label=${finding}>
    ${view.end === null ? nothing : svg`<circle cx=${x} cy=${y} r=${view.end} fill="none" stroke="var(--line)" stroke-width="2.5"></circle>`}
    ${view.rings.map(({ radius, step }) => circle(radius, step === null ? smallHatchFill : tintInk(step)))}
    ${data.live ? nothing : circle(view.wound, smallHatchFill)}
    <circle cx=${x} cy=${y} r=${view.wound} fill="none" stroke="var(--ink)" stroke-width="3"></circle>
    ${circle(view.core, 'var(--line)')}${circle(view.bore, 'var(--ground)')}${centreLines(view)}${nipRoller(view)}
  </svg>`;
}

function centreLines({ centre, core }: EndView) {
  const k = core * 1.25;
  const d = `M${centre.x - k} ${centre.y}H${centre.x + k}M${centre.x} ${centre.y - k}V${centre.y + k}`;
  return svg`<path d=${d} fill="none" stroke="var(--ink-2)" stroke-width="1.5" stroke-dasharray="14 4 3 4"></path>`;
}

function nipRoller({ nip }: EndView) {
  if (nip === null) return nothing;
  return svg`<circle cx=${nip.x} cy=${nip.y} r=${nip.radius} fill="var(--lane)" stroke="var(--ink)" stroke-width="3"></circle>
    <circle cx=${nip.x} cy=${nip.y} r="3" fill="var(--ink)"></circle>
    <path d="M${nip.webX} ${box.height}V${nip.y}" fill="none" stroke="var(--ink)" stroke-width="3"></path>`;
}
