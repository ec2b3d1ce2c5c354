import type { AcknowledgeBody } from '@edge-margin/monitoring';
import { html, nothing, type TemplateResult } from 'lit';
import { hourMinute } from '../model/clock-words.js';
import { refusalWords } from '../model/refusal.js';
import { actingName, keepActingName } from '../store/acting-name.js';
import type { Acknowledging } from '../store/api-client.js';
import { fetchActingNames } from '../store/door-client.js';
import type { Answer } from '../store/request.js';
import { actingNames } from '../templates/acting-names.js';
import { digitKeys } from '../templates/digit-keys.js';
import { LightElement } from './light-element.js';

/** One action at a shared screen: what it is about, and how to do it in the name of a person. */
export interface ActingQuestion {
  readonly about: string;
  readonly send: (by: Acknowledging) => Promise<Answer<AcknowledgeBody>>;
}

/** Refusals that are about who acts; every other one is about the alarm, and is shown there. */
const aboutPerson = [400, 401, 403, 422, 429];

/** Asks who acts where nobody is signed in: a name from the list, and that person's PIN or password. */
export class ActingDialog extends LightElement {
  static override properties = {
    question: { state: true },
    names: { state: true },
    kept: { state: true },
    choosing: { state: true },
    problem: { state: true },
    nameProblem: { state: true },
    busy: { state: true },
  };
  declare question: ActingQuestion | null;
  /** Null while they are asked for. */
  declare names: readonly string[] | null;
  /** Who acted last at this screen. */
  declare kept: string | null;
  declare choosing: boolean;
  declare problem: string;
  declare nameProblem: string;
  declare busy: boolean;
  #finish: (answer: Answer<AcknowledgeBody> | null) => void = () => undefined;

  constructor() {
    super();
    this.question = null;
    this.names = null;
    this.kept = null;
    this.choosing = false;
    this.#quiet();
  }

  async ask(question: ActingQuestion): Promise<Answer<AcknowledgeBody> | null> {
    const dialog = this.querySelector('dialog');
    if (dialog === null || dialog.open) return null;
    const answered = new Promise<Answer<AcknowledgeBody> | null>((resolve) => (this.#finish = resolve));
    this.querySelector('form')?.reset();
    this.#quiet();
    this.question = question;
    this.names = null;
    this.kept = actingName(Date.now());
    this.choosing = this.kept === null;
    await this.updateComplete;
    dialog.showModal();
    await this.#loadNames();
    this.#focusFirst();
    return answered;
  }

  async #loadNames(): Promise<void> {
    const answer = await fetchActingNames();
    this.names = answer.ok ? answer.body.names : [];
    if (!answer.ok) this.nameProblem = `The names cannot be shown: ${answer.words}`;
    else if (this.names.length === 0)
      this.nameProblem = 'Nobody may act yet. An administrator adds people, with a PIN or a password each.';
    if (this.kept !== null && !this.names.includes(this.kept)) this.kept = null;
    this.choosing = this.kept === null;
    await this.updateComplete;
  }

  protected override render(): TemplateResult {
    return html`<dialog
      class="acting"
      aria-labelledby="acting-title"
      aria-describedby="acting-about"
      @close=${() => this.#finish(null)}
    >
      <form novalidate @submit=${(event: Event) => void this.#submit(event)}>
        <header>
          <h2 id="acting-title">Who acknowledges?</h2>
          <p id="acting-about">${this.question?.about ?? ''}</p>
        </header>
        ${actingNames(this.names, this.choosing ? null : this.kept, this.nameProblem, () => this.#chooseAnother())}
        <div class="field secret">
          <label for="acting-secret">PIN or password</label>
          <input
            id="acting-secret"
            type="password"
            autocomplete="off"
            aria-describedby="acting-problem"
            aria-invalid=${this.problem === '' ? nothing : 'true'}
          />
          <p id="acting-problem" class="problem" role="status">${this.problem}</p>
        </div>
        <div class="field comment">
          <label for="acting-comment">Comment, may be left out</label>
          <input id="acting-comment" type="text" maxlength="500" autocomplete="off" />
        </div>
        <div class="answers">
          <button type="submit" ?disabled=${this.busy}>acknowledge</button>
          <button type="button" @click=${() => this.#close()}>not now</button>
        </div>
        ${digitKeys((edit) => this.#edit(edit))}
      </form>
    </dialog>`;
  }

  #chooseAnother(): void {
    this.choosing = true;
    void this.updateComplete.then(() => this.querySelector<HTMLElement>('input[type=radio]')?.focus());
  }

  #edit(edit: (secret: string) => string): void {
    const field = this.#field('acting-secret');
    if (field !== null) field.value = edit(field.value);
  }

  async #submit(event: Event): Promise<void> {
    event.preventDefault();
    const { question } = this;
    if (question === null || this.busy) return;
    const chosen = this.querySelector<HTMLInputElement>('input[type=radio]:checked')?.value;
    const name = this.choosing ? chosen : (this.kept ?? undefined);
    const secret = this.#field('acting-secret')?.value ?? '';
    this.#quiet();
    if (name === undefined) this.#refuseName('Choose who acts');
    else if (secret === '') this.#refuseSecret('The PIN or the password is needed');
    else await this.#send(question, name, secret);
  }

  async #send(question: ActingQuestion, name: string, secret: string): Promise<void> {
    const comment = (this.#field('acting-comment')?.value ?? '').trim();
    this.busy = true;
    const answer = await question.send({
      acting: { name, secret },
      ...(comment === '' ? {} : { comment }),
    });
    this.busy = false;
    if (!answer.ok && answer.status !== null && aboutPerson.includes(answer.status)) {
      const words = refusalWords(answer, Date.now(), hourMinute());
      this.#refuseSecret(`Not acknowledged: ${words}`);
      return;
    }
    if (answer.ok) keepActingName(name, Date.now());
    this.#finish(answer);
    this.#close();
  }

  #refuseName(words: string): void {
    this.nameProblem = words;
    this.querySelector<HTMLElement>('input[type=radio]')?.focus();
  }

  #refuseSecret(words: string): void {
    this.problem = words;
    const field = this.#field('acting-secret');
    if (field === null) return;
    field.value = '';
    field.focus();
  }

  #focusFirst(): void {
    const first = this.choosing ? this.querySelector<HTMLElement>('input[type=radio]') : null;
    (first ?? this.#field('acting-secret'))?.focus();
  }

  #field(id: string): HTMLInputElement | null {
    return this.querySelector<HTMLInputElement>(`#${id}`);
  }

  #quiet(): void {
    this.problem = '';
    this.nameProblem = '';
    this.busy = false;
  }

  /** Nothing secret stays in the page. */
  #close(): void {
    this.querySelector('form')?.reset();
    this.querySelector('dialog')?.close();
  }
}

/** What the service answered to the action, or null where the person turned away. */
export async function askWhoActs(question: ActingQuestion): Promise<Answer<AcknowledgeBody> | null> {
  return (await document.querySelector<ActingDialog>('em-acting-dialog')?.ask(question)) ?? null;
}
