import type { AlarmTransition } from '@edge-margin/alarms';
import type { DisplaySystem } from '@edge-margin/units';
import { html, type PropertyValues, type TemplateResult } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import { transitionWords } from '../model/alarm-words.js';
import { dayHourMinute } from '../model/clock-words.js';
import { stationName } from '../model/floor-words.js';
import { reasonWords } from '../model/reason-words.js';
import type { StationContext } from '../model/station-context.js';
import { fetchJournal } from '../store/api-client.js';
import { isOfService } from '../store/console-state.js';
import type { ConsoleStore } from '../store/console-store.js';
import { LightElement } from './light-element.js';

const rowLimit = 200;
/** A flood of alarms asks for the journal once. */
const gatherMs = 500;

/** What happened to the alarms, newest first. */
export class Journal extends LightElement {
  static override properties = {
    store: { attribute: false },
    names: { attribute: false },
    system: { attribute: false },
    rows: { state: true },
    problem: { state: true },
  };
  declare store: ConsoleStore | undefined;
  declare names: ReadonlyMap<string, StationContext>;
  declare system: DisplaySystem;
  declare rows: readonly AlarmTransition[];
  declare problem: string;
  #stop: () => void = () => undefined;
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor() {
    super();
    this.names = new Map();
    this.system = 'metric';
    this.rows = [];
    this.problem = '';
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#stop();
    clearTimeout(this.#timer);
  }

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (!changed.has('store') || this.store === undefined) return;
    this.#stop();
    this.#stop = this.store.onEvent((event) => {
      if (event.type === 'alarm') this.#soon();
    });
    void this.#load();
  }

  #soon(): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#load(), gatherMs);
  }

  async #load(): Promise<void> {
    const answer = await fetchJournal(rowLimit);
    this.problem = answer.ok ? '' : `The journal cannot be shown: ${answer.words}`;
    if (answer.ok) this.rows = answer.body.transitions;
  }

  protected override render(): TemplateResult {
    const nowMs = this.store?.nowMs() ?? Number.NaN;
    const since = dayHourMinute(nowMs);
    return html`<section aria-labelledby="journal-title">
      <h2 id="journal-title">Journal, newest first</h2>
      <p role="status">${this.problem}</p>
      <div class="frame" role="region" aria-label="Journal as a table" tabindex="0">
        <table class="journal">
          <thead>
            <tr>
              <th scope="col">time</th>
              <th scope="col">winder</th>
              <th scope="col">priority</th>
              <th scope="col">what happened</th>
              <th scope="col">alarm</th>
            </tr>
          </thead>
          <tbody>
            ${repeat(
              this.rows,
              (row) => row.id,
              (row) => this.#row(row, since),
            )}
          </tbody>
        </table>
      </div>
      ${this.rows.length === 0 ? html`<p class="quiet">no entries</p>` : ''}
    </section>`;
  }

  #row(row: AlarmTransition, since: (atMs: number) => string): TemplateResult {
    const { alarm } = row;
    const context = this.names.get(`${alarm.winderId}/${alarm.stationId}`);
    const name = isOfService(alarm)
      ? 'Service'
      : context === undefined
        ? `${alarm.winderId}, ${alarm.stationId}`
        : stationName(context);
    return html`<tr>
      <td>${since(row.atMs)}</td>
      <td>${name}</td>
      <td>${alarm.priority}</td>
      <td>${transitionWords(row)}</td>
      <td>${reasonWords(alarm.because, since, this.system)}</td>
    </tr>`;
  }
}
