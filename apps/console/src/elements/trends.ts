import type { LiveEvent, SeriesBody } from '@edge-margin/monitoring';
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit';
import { bandOf, bandWith, meanLine, type TrendBand } from '../drawing/trend-band.js';
import {
  appended,
  type MissingTime,
  quietFor,
  type TrendPoints,
  usualStepMs,
  withGaps,
} from '../drawing/trend-columns.js';
import type { StationContext } from '../model/station-context.js';
import { type TrendLane, trendLanes } from '../model/trend-lanes.js';
import { bandWords, presentWords, trendSentence } from '../model/trend-sentence.js';
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
/** A pause in what comes live that breaks a line of which no period is known, ms. */
const liveQuietMs = 15_000;

/** What was, over time: the past from the series, the present from the live stream. */
export class Trends extends LightElement {
  static override properties = {
    context: { attribute: false },
    store: { attribute: false },
    span: { state: true },
    lines: { state: true },
    bands: { state: true },
    partial: { state: true },
    problem: { state: true },
    theme: { attribute: false },
  };
  declare context: StationContext | undefined;
  declare store: ConsoleStore | undefined;
  declare theme: string;
  declare span: Span;
  declare lines: ReadonlyMap<string, TrendPoints>;
  declare bands: ReadonlyMap<string, TrendBand>;
  declare partial: string;
  declare problem: string;
  #asked = '';
  #quietMs = new Map<string, number>();
  #stop: () => void = () => undefined;

  constructor() {
    super();
    this.span = spans[0];
    this.lines = new Map();
    this.bands = new Map();
    this.partial = '';
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
    if (answer.ok) this.#show(answer.body, span);
    else this.lines = this.bands = new Map();
  }

  #show({ gaps, series }: SeriesBody, span: Span): void {
    const missing = gaps.filter(({ what }) => what === 'messages' || what === 'series');
    const lines = new Map<string, TrendPoints>();
    const bands = new Map<string, TrendBand>();
    for (const one of series) {
      const band = bandOf(one);
      if (band !== null) bands.set(one.field, band);
      lines.set(
        one.field,
        band === null ? this.#line(one, span, missing) : meanLine(one, band.windowMs, missing),
      );
    }
    this.lines = lines;
    this.bands = bands;
    this.partial = series.find(({ partial }) => partial !== null)?.partial?.text ?? '';
  }

  /** A line through the points themselves; how much silence it bears goes for what comes live, too. */
  #line(series: SeriesBody['series'][number], span: Span, missing: readonly MissingTime[]): TrendPoints {
    const usualMs = usualStepMs(series.points);
    const quietMs = quietFor(usualMs, series.thinned, span.ms, maxPoints);
    this.#quietMs.set(series.field, series.thinned ? liveQuietMs : quietMs);
    return withGaps(series.points, { quietMs, usualMs, missing });
  }

  #take(event: LiveEvent): void {
    const { context } = this;
    if (event.type !== 'assessment' || context === undefined) return;
    const { winderId, stationId, atMs } = event.data;
    if (winderId !== context.winder.id || stationId !== context.station.id || this.lines.size === 0) return;
    const lines = new Map(this.lines);
    const bands = new Map(this.bands);
    const fromMs = atMs - this.span.ms;
    for (const { field, latest } of trendLanes.flatMap((lane) => lane.lines)) {
      const before = lines.get(field) ?? [];
      const value = latest(event.data);
      if (value === null && before.length === 0) continue;
      lines.set(field, appended(before, atMs, value, fromMs, this.#quietMs.get(field) ?? liveQuietMs));
      const band = bands.get(field);
      if (band !== undefined && value !== null) bands.set(field, bandWith(band, atMs, value, fromMs));
    }
    this.lines = lines;
    this.bands = bands;
  }

  protected override render(): TemplateResult | typeof nothing {
    const { context } = this;
    if (context === undefined) return nothing;
    return html`<fieldset class="trend-head">
        <legend>Trends</legend>
        ${spans.map((span) => html`<label class="choice"><input type="radio" name="trend-span" value=${span.key} .checked=${span === this.span} @change=${() => (this.span = span)} />${span.words}</label>`)}
      </fieldset>
      <p role="status">${this.problem}</p>
      ${this.partial === '' ? nothing : html`<p class="quiet">Not all is shown: ${this.partial}.</p>`}
      ${this.bands.size === 0 ? nothing : html`<p class="quiet">${bandWords([...this.bands.values()])}</p>`}
      ${trendLanes.map((lane, at) => this.#lane(lane, context, at === trendLanes.length - 1))}
      <details>
        <summary>the trends as a table</summary>
        ${trendTable(trendLanes, this.lines, context)}
      </details>`;
  }

  #lane(lane: TrendLane, context: StationContext, last: boolean): TemplateResult {
    const lines = lane.lines.map((line) => this.lines.get(line.field) ?? []);
    const bands = lane.lines.map((line) => this.bands.get(line.field) ?? null);
    const nowMs = Math.max(context.nowMs, context.station.assessment?.atMs ?? 0);
    return html`<section class="lane">
      <div class="label">
        <h3>${lane.title}</h3>
        <p class="value">${presentWords(lane, lines, context)}</p>
      </div>
      <em-trend-plot
        class="plot"
        role="img"
        aria-label=${trendSentence(lane, lines, bands, this.span.words, context)}
        .lane=${lane}
        .lines=${lines}
        .bands=${bands}
        .fromMs=${nowMs - this.span.ms}
        .toMs=${nowMs}
        .system=${context.system}
        .last=${last}
        .theme=${this.theme}
      ></em-trend-plot>
    </section>`;
  }
}
