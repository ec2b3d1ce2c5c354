import type { LiveEvent } from '@edge-margin/monitoring';
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit';
import { type TrendPoints, appended, gapFor, withGaps } from '../drawing/trend-columns.js';
import type { StationContext } from '../model/station-context.js';
import { type TrendLane, trendLanes } from '../model/trend-lanes.js';
import { presentWords, trendSentence } from '../model/trend-sentence.js';
import { fetchSeries } from '../store/api-client.js';
import type { ConsoleStore } from '../store/console-store.js';
import { trendTable } from '../templates/trend-table.js';
import { LightElement } from './light-element.js';

const spans = [
  { key: '15min', words: 'last 15 min', ms: 15 * 60_000 },
  { key: '1h', words: 'last 1 h', ms: 3_600_000 },
  { key: '8h', words: 'last 8 h', ms: 8 * 3_600_000 },
] as const;
type Span = (typeof spans)[number];

const maxPoints = 900;

/** What was, over time: the past from the series, the present from the live stream. */
export class Trends extends LightElement {
  static override properties = {
    context: { attribute: false },
    store: { attribute: false },
    span: { state: true },
    lines: { state: true },
    problem: { state: true },
    theme: { attribute: false },
  };
  declare context: StationContext | undefined;
  declare store: ConsoleStore | undefined;
  declare theme: string;
  declare span: Span;
  declare lines: ReadonlyMap<string, TrendPoints>;
  declare problem: string;
  #asked = '';
  #gapMs = new Map<string, number>();
  #stop: () => void = () => undefined;

  constructor() {
    super();
    this.span = spans[0];
    this.lines = new Map();
    this.problem = '';
    this.theme = '';
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#stop();
    this.#stop = () => undefined;
    this.#asked = '';
  }

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (this.store !== undefined && changed.has('store')) {
      this.#stop();
      this.#stop = this.store.onEvent((event) => this.#take(event));
    }
    const { context, store } = this;
    if (context === undefined || store === undefined || context.liveness.kind === 'no-connection') {
      this.#asked = '';
      return;
    }
    const wanted = `${context.winder.id}/${context.station.id}/${this.span.key}`;
    if (wanted !== this.#asked) void this.#load(wanted, context, this.span);
  }

  async #load(wanted: string, context: StationContext, span: Span): Promise<void> {
    this.#asked = wanted;
    const toMs = Math.max(context.nowMs, context.station.assessment?.atMs ?? 0) + 1_000;
    const fields = trendLanes.flatMap((lane) => lane.lines.map((line) => line.field));
    const answer = await fetchSeries({
      winderId: context.winder.id,
      stationId: context.station.id,
      fields,
      fromMs: toMs - span.ms,
      toMs,
      maxPoints,
    });
    if (this.#asked !== wanted) return;
    this.problem = answer.ok ? '' : `No trends: ${answer.words}`;
    const lines = new Map<string, TrendPoints>();
    for (const series of answer.ok ? answer.body.series : []) {
      const gapMs = gapFor(series.thinned, span.ms, maxPoints);
      this.#gapMs.set(series.field, gapMs);
      lines.set(series.field, withGaps(series.points, gapMs));
    }
    this.lines = lines;
  }

  #take(event: LiveEvent): void {
    const { context } = this;
    if (event.type !== 'assessment' || context === undefined) return;
    const { winderId, stationId, atMs } = event.data;
    if (winderId !== context.winder.id || stationId !== context.station.id || this.lines.size === 0) return;
    const lines = new Map(this.lines);
    for (const { field, latest } of trendLanes.flatMap((lane) => lane.lines)) {
      const before = lines.get(field) ?? [];
      const value = latest(event.data);
      if (value === null && before.length === 0) continue;
      lines.set(field, appended(before, atMs, value, atMs - this.span.ms, this.#gapMs.get(field) ?? 15_000));
    }
    this.lines = lines;
  }

  protected override render(): TemplateResult | typeof nothing {
    const { context } = this;
    if (context === undefined) return nothing;
    return html`<fieldset class="trend-head">
        <legend>Trends</legend>
        ${spans.map((span) => html`<label class="choice"><input type="radio" name="trend-span" value=${span.key} .checked=${span === this.span} @change=${() => (this.span = span)} />${span.words}</label>`)}
      </fieldset>
      <p role="status">${this.problem}</p>
      ${trendLanes.map((lane, at) => this.#lane(lane, context, at === trendLanes.length - 1))}
      <details>
        <summary>the trends as a table</summary>
        ${trendTable(trendLanes, this.lines, context)}
      </details>`;
  }

  #lane(lane: TrendLane, context: StationContext, last: boolean): TemplateResult {
    const lines = lane.lines.map((line) => this.lines.get(line.field) ?? []);
    const nowMs = Math.max(context.nowMs, context.station.assessment?.atMs ?? 0);
    return html`<section class="lane">
      <div class="label">
        <h3>${lane.title}</h3>
        <p class="value">${presentWords(lane, lines, context)}</p>
      </div>
      <em-trend-plot
        class="plot"
        role="img"
        aria-label=${trendSentence(lane, lines, this.span.words, context)}
        .lane=${lane}
        .lines=${lines}
        .fromMs=${nowMs - this.span.ms}
        .toMs=${nowMs}
        .system=${context.system}
        .last=${last}
        .theme=${this.theme}
      ></em-trend-plot>
    </section>`;
  }
}
