import type { AuditEntry } from '@edge-margin/monitoring';
import { html, nothing, type TemplateResult } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import { auditWords, pageWords } from '../model/audit-words.js';
import { dayHourMinute } from '../model/clock-words.js';
import { fetchAudit } from '../store/door-client.js';
import { LightElement } from './light-element.js';

const rowLimit = 200;

/** Every sign-in and every change, newest first, a page at a time. */
export class Audit extends LightElement {
  static override properties = {
    entries: { state: true },
    older: { state: true },
    pages: { state: true },
    problem: { state: true },
  };
  declare entries: readonly AuditEntry[] | null;
  /** Where the next page begins; null where there is none. */
  declare older: string | null;
  /** Where each page that was turned to begins, the one that is shown last; empty on the newest. */
  declare pages: readonly string[];
  declare problem: string;

  constructor() {
    super();
    this.entries = null;
    this.older = null;
    this.pages = [];
    this.problem = '';
  }

  override connectedCallback(): void {
    super.connectedCallback();
    void this.#load(this.pages);
  }

  async #load(pages: readonly string[]): Promise<void> {
    const answer = await fetchAudit(rowLimit, pages.at(-1) ?? null);
    this.problem = answer.ok ? '' : `The audit cannot be shown: ${answer.words}`;
    if (!answer.ok) return;
    this.pages = pages;
    this.entries = answer.body.entries;
    this.older = answer.body.olderBefore;
  }

  /** Turns to another page and begins to read at its head. */
  async #turnTo(pages: readonly string[]): Promise<void> {
    await this.#load(pages);
    await this.updateComplete;
    this.querySelector<HTMLElement>('#audit-title')?.focus();
  }

  protected override render(): TemplateResult {
    return html`<header class="office-head">
        <h1 id="audit-title" tabindex="-1">Audit, newest first</h1>
        <button type="button" @click=${() => void this.#load(this.pages)}>look again</button>
      </header>
      <p role="status" class="problem">${this.problem}</p>
      ${this.entries === null ? nothing : html`${this.#where(this.entries)}${this.#table(this.entries)}${this.#turning()}`}`;
  }

  #where(entries: readonly AuditEntry[]): TemplateResult {
    return html`<p role="status" class="quiet">
      ${pageWords(entries, this.pages.length, dayHourMinute(Date.now()))}
    </p>`;
  }

  #turning(): TemplateResult | typeof nothing {
    const { older, pages } = this;
    if (older === null && pages.length === 0) return nothing;
    const button = (words: string, to: readonly string[]) =>
      html`<button type="button" @click=${() => void this.#turnTo(to)}>${words}</button>`;
    return html`<nav class="pages" aria-label="Pages of the audit">
      ${older === null ? nothing : button('older entries', [...pages, older])}
      ${pages.length === 0 ? nothing : button('newer entries', pages.slice(0, -1))}
      ${pages.length < 2 ? nothing : button('newest entries', [])}
    </nav>`;
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
    </div>`;
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
