import { html, nothing, type TemplateResult } from 'lit';
import { keepPerson, person, personName } from '../store/person.js';
import { LightElement } from './light-element.js';

/** Asks once who is at this screen: every acknowledgement carries a name. */
export class PersonDialog extends LightElement {
  static override properties = { problem: { state: true } };
  declare problem: string;
  #answer: ((name: string | null) => void) | null = null;

  constructor() {
    super();
    this.problem = '';
  }

  ask(): Promise<string | null> {
    const dialog = this.querySelector('dialog');
    if (dialog === null || dialog.open) return Promise.resolve(null);
    const input = dialog.querySelector('input');
    if (input !== null) input.value = person() ?? '';
    this.problem = '';
    dialog.showModal();
    return new Promise((resolve) => {
      this.#answer = resolve;
    });
  }

  protected override render(): TemplateResult {
    return html`<dialog aria-labelledby="person-title" @close=${() => this.#finish(null)}>
      <form @submit=${(event: Event) => this.#submit(event)}>
        <h2 id="person-title">Who acknowledges?</h2>
        <label for="person-name">Your name, as the alarm journal shall show it</label>
        <input
          id="person-name"
          type="text"
          maxlength="80"
          autocomplete="name"
          aria-describedby="person-problem"
          aria-invalid=${this.problem === '' ? nothing : 'true'}
        />
        <p id="person-problem" role="status">${this.problem}</p>
        <p class="quiet">Kept on this screen until its tab is closed.</p>
        <div class="answers">
          <button type="submit">use this name</button>
          <button type="button" @click=${() => this.querySelector('dialog')?.close()}>not now</button>
        </div>
      </form>
    </dialog>`;
  }

  #submit(event: Event): void {
    event.preventDefault();
    const name = personName(this.querySelector('input')?.value ?? '');
    if (name === null) {
      this.problem = 'A name of 1 to 80 characters is needed';
      this.querySelector('input')?.focus();
      return;
    }
    keepPerson(name);
    this.#finish(name);
    this.querySelector('dialog')?.close();
  }

  #finish(name: string | null): void {
    this.#answer?.(name);
    this.#answer = null;
  }
}

/** The name given, or null where the person turned away. */
export async function askPerson(): Promise<string | null> {
  return (await document.querySelector<PersonDialog>('em-person-dialog')?.ask()) ?? null;
}
