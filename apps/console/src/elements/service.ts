import type { GapsBody, KeepingBody, ReadingsNotUsedBody, ServiceHealthBody } from '@edge-margin/monitoring';
import { html, nothing, type TemplateResult } from 'lit';
import { type ClockWords, dayHourMinute } from '../model/clock-words.js';
import { serviceSentence, troubleWords } from '../model/health-words.js';
import { fetchGaps, fetchKeeping, fetchReadingsNotUsed, fetchServiceHealth } from '../store/api-client.js';
import { gapsOfLastDay } from '../templates/gaps.js';
import { healthPart } from '../templates/health-part.js';
import { whatIsKept } from '../templates/keeping.js';
import type { PageView } from '../templates/page-view.js';
import { readingsNotUsed } from '../templates/readings-not-used.js';
import { serviceAlarms } from '../templates/service-alarms.js';
import { serviceVersions } from '../templates/service-versions.js';
import { LightElement } from './light-element.js';

const askEveryMs = 5_000;
const dayMs = 86_400_000;
/** A short list; the API has the rest. */
const mostGaps = 50;

/** How the service itself is: its parts, its own alarms, what is missing, what it could not use, what it keeps, and what it is made of. */
export class Service extends LightElement {
  static override properties = {
    view: { attribute: false },
    health: { state: true },
    notUsed: { state: true },
    gaps: { state: true },
    keeping: { state: true },
    problem: { state: true },
  };
  declare view: PageView | undefined;
  declare health: ServiceHealthBody | null;
  declare notUsed: ReadingsNotUsedBody | null;
  declare gaps: GapsBody | null;
  declare keeping: KeepingBody | null;
  declare problem: string;
  #timer: ReturnType<typeof setInterval> | undefined;

  constructor() {
    super();
    this.health = null;
    this.notUsed = null;
    this.gaps = null;
    this.keeping = null;
    this.problem = '';
  }

  override connectedCallback(): void {
    super.connectedCallback();
    void this.#load();
    this.#timer = setInterval(() => {
      if (document.visibilityState === 'visible') void this.#load();
    }, askEveryMs);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    clearInterval(this.#timer);
  }

  async #load(): Promise<void> {
    const [health, notUsed, keeping] = await Promise.all([
      fetchServiceHealth(),
      fetchReadingsNotUsed(),
      fetchKeeping(),
    ]);
    if (health.ok) this.health = health.body;
    if (notUsed.ok) this.notUsed = notUsed.body;
    if (keeping.ok) this.keeping = keeping.body;
    // The service's own clock says where its last day begins.
    const gaps = health.ok ? await fetchGaps(health.body.nowMs - dayMs, mostGaps) : null;
    if (gaps?.ok === true) this.gaps = gaps.body;
    this.problem = health.ok ? '' : this.#lostWords(health.words);
  }

  /** What is shown is of the past then, and says of when. */
  #lostWords(words: string): string {
    const { health } = this;
    if (health === null) return `The service’s health cannot be shown: ${words}`;
    return `No answer: ${words}. What stands here is of ${dayHourMinute(Date.now())(health.nowMs)}.`;
  }

  protected override render(): TemplateResult | typeof nothing {
    const { health, view } = this;
    if (view === undefined) return nothing;
    const since = dayHourMinute(health?.nowMs ?? Number.NaN);
    return html`<header class="office-head">
        <h1 tabindex="-1">${health === null ? 'The service' : serviceSentence(health.state)}</h1>
        ${health === null ? nothing : html`<p class="clock"><small>as of</small> ${since(health.nowMs)}</p>`}
      </header>
      <p role="status" class="problem">${this.problem}</p>
      ${health === null || health.state === 'ok' ? nothing : html`<p>${troubleWords(health.parts)}</p>`}
      ${health === null ? nothing : this.#body(health, view, since)}`;
  }

  #body(health: ServiceHealthBody, view: PageView, since: ClockWords): TemplateResult {
    return html`${serviceAlarms(view, health.alarms, since)}
      <ol class="parts" aria-label="Parts of the service">
        ${health.parts.map((part) => healthPart(part, since))}
      </ol>
      ${this.gaps === null ? nothing : gapsOfLastDay(this.gaps, since)}
      ${this.notUsed === null ? nothing : readingsNotUsed(this.notUsed, since)}
      ${this.keeping === null ? nothing : whatIsKept(this.keeping, since)}
      ${serviceVersions(health, view, since)}`;
  }
}
