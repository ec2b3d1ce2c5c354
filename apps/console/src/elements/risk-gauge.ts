import { html, nothing, type TemplateResult } from 'lit';
import { gaugeData } from '../model/gauge-data.js';
import { gaugeMeter } from '../model/gauge-sentence.js';
import type { StationContext } from '../model/station-context.js';
import { isWide, textUnits } from '../templates/gauge-box.js';
import { gaugeDrawing } from '../templates/gauge-drawing.js';
import { chanceNow, chancesAtEnd } from '../templates/gauge-numbers.js';
import { LightElement } from './light-element.js';

/** The roll cut along its radius: solid is wound, outline is to come, dotted is the outlook after the change; the height is the chance. */
export class RiskGauge extends LightElement {
  static override properties = {
    context: { attribute: false },
    width: { state: true },
    unit: { state: true },
    squeeze: { state: true },
  };
  declare context: StationContext | undefined;
  declare width: number;
  declare unit: number;
  declare squeeze: number;
  readonly #observer = new ResizeObserver(() => this.#measure());

  constructor() {
    super();
    this.width = 0;
    this.unit = 1;
    this.squeeze = 0;
  }

  override connectedCallback(): void {
    super.connectedCallback();
    this.#observer.observe(this);
    for (const neighbour of [this.previousElementSibling, this.nextElementSibling])
      if (neighbour !== null) this.#observer.observe(neighbour);
    addEventListener('resize', this.#onResize);
  }

  readonly #onResize = (): void => this.#measure();

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#observer.disconnect();
    removeEventListener('resize', this.#onResize);
  }

  #measure(): void {
    const frame = this.querySelector('.gauge');
    if (frame === null) return;
    const style = getComputedStyle(frame);
    this.width = frame.clientWidth;
    this.unit = Number.parseFloat(style.fontSize) / textUnits;
    this.squeeze = Math.max(0, Math.round(this.squeeze + tooLow(this)));
  }

  protected override updated(): void {
    if (this.width === 0) this.#measure();
  }

  protected override render(): TemplateResult | typeof nothing {
    if (this.context === undefined) return nothing;
    const data = gaugeData(this.context);
    if (data === null)
      return html`<div class="gauge empty" role="img" aria-label="No roll to draw">${this.#empty()}</div>`;
    const meter = gaugeMeter(this.context, data);
    const paper = { width: this.width, unit: this.unit, squeeze: this.squeeze };
    const wide = isWide(paper);
    const drawing = this.width === 0 ? nothing : gaugeDrawing(this.context, data, paper);
    const className = `gauge ${wide ? 'wide' : 'narrow'} ${this.squeeze > 0 ? 'squeezed' : ''}`;
    const content = html`${chanceNow(this.context, data)}${drawing}${wide ? nothing : chancesAtEnd(data)}`;
    if (meter.value === null)
      return html`<div class=${className} role="img" aria-label="${meter.name}: ${meter.sentence}">
        ${content}
      </div>`;
    return html`<div
      class=${className}
      role="meter"
      aria-label=${meter.name}
      aria-valuemin="0"
      aria-valuemax="100"
      aria-valuenow=${meter.value}
      aria-valuetext=${meter.sentence}
    >
      ${content}
    </div>`;
  }

  /** Keeps its place while no roll is there. */
  #empty(): TemplateResult {
    const height = Math.round(286 * this.unit);
    return html`<svg width="100%" height=${height} aria-hidden="true">
      <rect
        class="g-frame"
        x="0"
        y=${52 * this.unit}
        width="100%"
        height=${150 * this.unit}
        stroke-width="2"
      ></rect>
    </svg>`;
  }
}

/** A gauge gives up height for what stands below it only where that is a matter of a few lines. */
const mostLines = 4;

/** By how many pixels what stands below the gauge would reach under the standing line of an unscrolled page; negative where there is room left. */
function tooLow(gauge: Element): number {
  const foot = document.querySelector<HTMLElement>('.foot');
  const below = gauge.nextElementSibling;
  if (!(below instanceof HTMLElement) || foot === null || getComputedStyle(foot).position !== 'sticky')
    return -Infinity;
  const bottom = gauge.getBoundingClientRect().bottom + scrollY + below.offsetHeight;
  const over = bottom - (innerHeight - foot.offsetHeight);
  return over > mostLines * 0.09 * innerHeight ? -Infinity : over;
}
