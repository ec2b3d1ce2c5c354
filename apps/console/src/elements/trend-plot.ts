import type { DisplaySystem } from '@edge-margin/units';
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit';
import uPlot from 'uplot';
import { paintBand } from '../drawing/paint-band.js';
import { bandValues, type TrendBand } from '../drawing/trend-band.js';
import { lonePoints, type TrendPoints, trendColumns, trendRange } from '../drawing/trend-columns.js';
import { hourMinute } from '../model/clock-words.js';
import { numberWords, shownPerSi } from '../model/quantity-words.js';
import type { TrendLane } from '../model/trend-lanes.js';
import { LightElement } from './light-element.js';

const time = hourMinute();

/** One lane of the trends on a canvas. */
export class TrendPlot extends LightElement {
  static override properties = {
    lane: { attribute: false },
    lines: { attribute: false },
    bands: { attribute: false },
    fromMs: { attribute: false },
    toMs: { attribute: false },
    system: { attribute: false },
    last: { attribute: false },
    theme: { attribute: false },
  };
  declare lane: TrendLane | undefined;
  declare lines: readonly TrendPoints[];
  /** Of each line; null where it was drawn from its points. */
  declare bands: readonly (TrendBand | null)[];
  declare fromMs: number;
  declare toMs: number;
  declare system: DisplaySystem;
  declare last: boolean;
  declare theme: string;
  #plot: uPlot | null = null;
  readonly #observer = new ResizeObserver(() => this.#resize());

  override connectedCallback(): void {
    super.connectedCallback();
    this.#observer.observe(this);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#observer.disconnect();
    this.#plot?.destroy();
    this.#plot = null;
  }

  protected override render(): TemplateResult {
    const empty = this.lines.every((line) => line.length === 0);
    return html`<div class="canvas" aria-hidden="true"></div>
      ${empty ? html`<p class="no-points">no points in this time</p>` : nothing}`;
  }

  protected override updated(changed: PropertyValues<this>): void {
    if (this.#plot === null || changed.has('theme') || changed.has('system')) this.#build();
    else this.#plot.setData(this.#columns());
  }

  #columns(): uPlot.AlignedData {
    const factor = this.#factor();
    const [times, ...values] = trendColumns(this.lines);
    const shown = values.map((column) =>
      column.map((value) => (typeof value === 'number' ? value * factor : value)),
    );
    return [times, ...shown] as uPlot.AlignedData;
  }

  #factor(): number {
    return this.lane === undefined ? 1 : shownPerSi(this.lane.kind, this.system);
  }

  #range(lane: TrendLane): [number, number] {
    const [low, high] = trendRange(this.lines, lane.atLeast, this.bands.flatMap(bandValues));
    return [low * this.#factor(), high * this.#factor()];
  }

  #paintBands(plot: uPlot): void {
    const style = getComputedStyle(this);
    const { left, top, width, height } = plot.bbox;
    for (const band of this.bands)
      if (band !== null)
        paintBand(band, this.toMs, {
          context: plot.ctx,
          bed: { left, top, width, height },
          xOf: (atMs) => plot.valToPos(atMs / 1000, 'x', true),
          yOf: (value) => plot.valToPos(value * this.#factor(), 'y', true),
          fill: style.getPropertyValue('--grid'),
          line: style.getPropertyValue('--line'),
          lineWidth: uPlot.pxRatio,
        });
  }

  #build(): void {
    this.#plot?.destroy();
    const target = this.querySelector<HTMLElement>('.canvas');
    if (target === null || this.lane === undefined || this.clientWidth === 0) return;
    this.#plot = new uPlot(this.#options(this.lane), this.#columns(), target);
  }

  #resize(): void {
    if (this.#plot === null) this.#build();
    else if (this.clientWidth > 0) this.#plot.setSize({ width: this.clientWidth, height: this.clientHeight });
  }

  #options(lane: TrendLane): uPlot.Options {
    const style = getComputedStyle(this);
    const colour = (name: string): string => style.getPropertyValue(name);
    const size = Math.max(14, Number.parseFloat(style.fontSize) * 0.72);
    const axis = {
      stroke: colour('--ink-2'),
      font: `${size}px ${colour('--face')}`,
      ticks: { show: false },
      grid: { stroke: colour('--grid'), width: 1 },
    };
    return {
      width: this.clientWidth,
      height: this.clientHeight,
      legend: { show: false },
      cursor: { y: false, drag: { x: false, y: false }, points: { size: 8 }, sync: { key: 'trends' } },
      padding: [size * 0.6, size, 0, 0],
      hooks: { drawAxes: [(plot) => this.#paintBands(plot)] },
      scales: {
        x: { range: () => [this.fromMs / 1000, this.toMs / 1000] },
        y: { range: () => this.#range(lane) },
      },
      axes: [
        {
          ...axis,
          size: this.last ? size * 1.8 : size * 0.5,
          space: 110,
          values: (_, splits) => splits.map((at) => (this.last ? time(at * 1000) : '')),
        },
        {
          ...axis,
          size: size * 4.2,
          space: 40,
          values: (_, splits) =>
            splits.map((value) => numberWords(lane.kind, value / this.#factor(), this.system)),
        },
      ],
      series: [
        {},
        ...lane.lines.map((line) => ({
          stroke: colour('--ink'),
          width: 2,
          points: {
            show: true,
            size: 5,
            filter: (plot: uPlot, column: number) => [
              ...lonePoints(plot.data[column] as readonly (number | null | undefined)[]),
            ],
          },
          ...(line.end === 'drive' ? { dash: [7, 5] } : {}),
        })),
      ],
    };
  }
}
