import { html, nothing, type PropertyValues, type TemplateResult } from 'lit';
import { hourMinute } from '../model/clock-words.js';
import { type FormProblems, missingProblems, noProblems, refusedProblems } from '../model/form-problems.js';
import type { Answer } from '../store/request.js';
import { type FormField, formField } from '../templates/form-field.js';
import { LightElement } from './light-element.js';

/** A form that sends what is typed to the service and says in words, beside the field, why it was not taken. */
export class Form extends LightElement {
  static override properties = {
    name: { attribute: false },
    fields: { attribute: false },
    words: { attribute: false },
    blame: { attribute: false },
    doneWords: { attribute: false },
    beside: { attribute: false },
    send: { attribute: false },
    busy: { state: true },
    problems: { state: true },
    done: { state: true },
  };
  /** Unlike that of any other form on the page. */
  declare name: string;
  declare fields: readonly FormField[];
  /** On the button. */
  declare words: string;
  /** The field beside which a refusal stands that names none. */
  declare blame: string;
  /** Said when it is done; empty where the page itself shows it. */
  declare doneWords: string;
  /** Another way out beside the button. */
  declare beside: TemplateResult | typeof nothing;
  declare send: ((values: FormData) => Promise<Answer<unknown>>) | undefined;
  declare busy: boolean;
  declare problems: FormProblems;
  declare done: boolean;

  constructor() {
    super();
    this.name = '';
    this.fields = [];
    this.words = '';
    this.blame = '';
    this.doneWords = '';
    this.beside = nothing;
    this.busy = false;
    this.problems = noProblems;
    this.done = false;
  }

  /** Empty and without problems, as when it was first shown. */
  clear(): void {
    this.querySelector('form')?.reset();
    this.problems = noProblems;
    this.done = false;
  }

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('name') && changed.get('name') !== undefined) this.problems = noProblems;
  }

  protected override render(): TemplateResult {
    return html`<form class="form" novalidate @submit=${(event: Event) => void this.#submit(event)}>
      ${this.fields.map((field) => formField(field, this.#idOf(field.name), this.problems.fields.get(field.name) ?? ''))}
      <div class="answers">
        <button type="submit" ?disabled=${this.busy}>${this.words}</button>
        ${this.beside}
        <p role="status" class=${this.problems.general === '' ? '' : 'problem'}>
          ${this.problems.general}${this.done ? this.doneWords : nothing}
        </p>
      </div>
    </form>`;
  }

  async #submit(event: Event): Promise<void> {
    event.preventDefault();
    const form = this.querySelector('form');
    if (form === null || this.busy || this.send === undefined) return;
    const values = new FormData(form);
    this.done = false;
    const missing = this.fields.filter(
      ({ name, optional }) => optional !== true && !values.getAll(name).some((value) => value !== ''),
    );
    if (missing.length > 0) return this.#show(missingProblems(missing.map(({ name }) => name)));
    this.busy = true;
    const answer = await this.send(values);
    this.busy = false;
    if (!answer.ok) {
      const names = this.fields.map(({ name }) => name);
      return this.#show(
        refusedProblems(answer, names, this.blame, { nowMs: Date.now(), time: hourMinute() }),
      );
    }
    this.clear();
    this.done = true;
  }

  /** The first field with a problem is focused: what is wrong with it is read out with it. */
  async #show(problems: FormProblems): Promise<void> {
    this.problems = problems;
    await this.updateComplete;
    const first = this.fields.find(({ name }) => problems.fields.has(name));
    if (first === undefined) return;
    const field = this.querySelector<HTMLElement>(`#${CSS.escape(this.#idOf(first.name))}`);
    field?.focus();
    if (field instanceof HTMLInputElement && field.type === 'password') field.select();
  }

  #idOf(field: string): string {
    return `${this.name}-${field}`;
  }
}

/** What was typed into a field of text; the empty string where nothing was. */
export function typed(values: FormData, name: string): string {
  const value = values.get(name);
  return typeof value === 'string' ? value : '';
}
