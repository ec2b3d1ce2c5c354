import type { AuditEntry } from '@edge-margin/monitoring';
import { html, nothing, type TemplateResult } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import { auditWords } from '../model/audit-words.js';
import { dayHourMinute } from '../model/clock-words.js';
import { fetchAudit } from '../store/door-client.js';
import { LightElement } from './light-element.js';

const rowLimit = 500;

/** Every sign-in and every change, newest first. */
export class Audit extends LightElement {
  static override properties = { entries: { state: true }, problem: { state: true } };
  declare entries: readonly AuditEntry[] | null;
  declare problem: string;

  constructor() {
    super();
    this.entries = null;
    this.problem = '';
  }

  override connectedCallback(): void {
    super.connectedCallback();
    void this.#load();
  }

  async #load(): Promise<void> {
    const answer = await fetchAudit(rowLimit);
    this.problem = answer.ok ? '' : `The audit cannot be shown: ${answer.words}`;
    if (answer.ok) this.entries = answer.body.entries;
  }

  protected override render(): TemplateResult {
    return html`<header class="office-head">
        <h1 id="audit-title" tabindex="-1">Audit, newest first</h1>
        <button type="button" @click=${() => void this.#load()}>look again</button>
      </header>
      <p role="status" class="problem">${this.problem}</p>
      ${this.entries === null ? nothing : this.#table(this.entries)}`;
  }

  #table(entries: readonly AuditEntry[]): TemplateResult {
    const since = dayHourMinute(Date.now());
    return html`<div class="frame" role="region" aria-labelledby="audit-title" tabindex="0">
        <table class="office">
          <thead>
            <tr>
              <th scope="col">time</th>
              <th scope="col">who</th>
              <th scope="col">what</th>
              <th scope="col">whom, or which</th>
              <th scope="col">more</th>
              <th scope="col">from</th>
            </tr>
          </thead>
          <tbody>
            ${repeat(
              entries,
              ({ id }) => id,
              (entry) => auditRow(entry, since),
            )}
          </tbody>
        </table>
      </div>
      <p class="quiet">
        ${entries.length === 0 ? 'no entries' : entries.length === rowLimit ? `The latest ${rowLimit} entries; older ones through the API.` : ''}
      </p>`;
  }
}

function auditRow(entry: AuditEntry, since: (atMs: number) => string): TemplateResult {
  return html`<tr>
    <td>${since(entry.atMs)}</td>
    <td>${entry.actor ?? html`<span class="quiet">not known</span>`}</td>
    <td>${auditWords(entry.what)}</td>
    <td>${entry.subject ?? ''}</td>
    <td>${entry.detail ?? ''}</td>
    <td>${entry.from ?? ''}</td>
  </tr>`;
}
