import { html, type TemplateResult } from 'lit';

/** Hatching means one thing: stale, or no data. */
export const hatchFill = 'url(#hatch)';
export const smallHatchFill = 'url(#hatch-small)';

/** The two patterns, once a page; every drawing refers to them. */
export function hatchPatterns(): TemplateResult {
  return html`<svg class="unseen" width="0" height="0" aria-hidden="true">
    <defs>
      <pattern id="hatch" width="14" height="14" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <rect class="hatch-bed" width="14" height="14"></rect>
        <line class="hatch-line" x1="0" x2="0" y1="0" y2="14"></line>
      </pattern>
      <pattern
        id="hatch-small"
        width="9"
        height="9"
        patternUnits="userSpaceOnUse"
        patternTransform="rotate(45)"
      >
        <rect class="hatch-bed" width="9" height="9"></rect>
        <line class="hatch-line" x1="0" x2="0" y1="0" y2="9"></line>
      </pattern>
    </defs>
  </svg>`;
}
