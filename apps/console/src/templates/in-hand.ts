import { html, nothing, svg, type TemplateResult } from 'lit';
import { inHandBar, inHandScale } from '../drawing/in-hand-bar.js';
import type { InHandRow } from '../model/in-hand-rows.js';
import { hatchFill } from './hatch.js';

/** Both mechanisms against one common zero: in hand to the right, used up to the left; the open box is the uncertainty. */
export function inHandPicture(rows: readonly InHandRow[]): TemplateResult {
  return html`<div class="in-hand" role="group" aria-label="In hand">
    ${rows.map((row) => html`<span class="name">${row.name}</span>${bar(row)}<span class="words">${row.words}${row.note === '' ? nothing : html` <small>${row.note}</small>`}</span>`)}
    <span class="scale" aria-hidden="true"
      ><span class="used">used up</span><span class="left">in hand</span><span class="all">100 %</span></span
    >
  </div>`;
}

function bar(row: InHandRow): TemplateResult {
  return html`<svg role="img" aria-label="${row.name}: ${row.words} ${row.note}">
    ${row.kind === 'known' ? knownBar(row.value, row.uncertainty) : nothing}
    ${row.kind === 'no-data' ? svg`<rect x="0" y="18%" width="100%" height="64%" fill=${hatchFill} stroke="var(--line)" stroke-width="2"></rect>` : nothing}
    ${row.kind === 'not-watched' ? svg`<rect x="0" y="18%" width="100%" height="64%" fill="none" stroke="var(--ink)" stroke-width="2" stroke-dasharray="8 8"></rect>` : nothing}
    <line x1="100%" x2="100%" y1="0" y2="100%" stroke="var(--grid)" stroke-width="2"></line>
    <line x1=${place(0)} x2=${place(0)} y1="-12%" y2="112%" stroke="var(--ink)" stroke-width="4"></line>
  </svg>`;
}

function knownBar(value: number, uncertainty: number) {
  const shape = inHandBar(value, uncertainty);
  if (shape === null) return nothing;
  const beyond = shape.beyond === null ? nothing : arrow(shape.beyond);
  return svg`<rect x=${place(shape.from)} y="31%" width=${wide(shape.from, shape.to)} height="38%" fill="var(--ink)"></rect>
    <rect x=${place(shape.boxFrom)} y="14%" width=${wide(shape.boxFrom, shape.boxTo)} height="72%" fill="none" stroke="var(--ink)" stroke-width="3"></rect>${beyond}`;
}

/** The value goes on beyond the drawing. */
function arrow(side: 'left' | 'right') {
  const x = side === 'left' ? '0' : '100%';
  return svg`<svg x=${x} y="50%" overflow="visible"><path d=${side === 'left' ? 'M-16 0L0 -12V12z' : 'M16 0L0 -12V12z'} fill="var(--ink)"></path></svg>`;
}

const span = inHandScale.to - inHandScale.from;
const place = (share: number): string => `${(100 * (share - inHandScale.from)) / span}%`;
const wide = (from: number, to: number): string => `${(100 * Math.max(0, to - from)) / span}%`;
