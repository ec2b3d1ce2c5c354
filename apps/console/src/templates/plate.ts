import { html, nothing, type TemplateResult } from 'lit';
import { plateEdge, plateEdgeBox } from '../drawing/plate-edge.js';
import type { Level } from '../model/level.js';

/** Words on a plate whose right edge is the edge of a roll; without a plate where nothing is wrong. */
export function plate(level: Level, kind: string, content: unknown): TemplateResult {
  return html`<div class="plate ${kind}" data-level=${level}>
    ${level === 'none' ? nothing : background(level)}${content}
  </div>`;
}

/** A small plate that carries one word or a winder's mark. */
export function tag(level: Level, word: string): TemplateResult {
  return html`<span class="plate small tag" data-level=${level}
    >${background(level)}<span>${word}</span></span
  >`;
}

function background(level: Level): TemplateResult {
  const edge = plateEdge(level);
  return html`<span class="plate-body"></span
    ><svg
      class="plate-edge"
      viewBox="0 0 ${plateEdgeBox.width} ${plateEdgeBox.height}"
      preserveAspectRatio="none"
      aria-hidden="true"
    >
      <path class="fill" d="${edge.replace('M0 0', 'M-1 0V0H0')}H-1z"></path>
      <path class="line" d=${edge} vector-effect="non-scaling-stroke"></path>
    </svg>`;
}
