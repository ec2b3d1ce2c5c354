import { html, nothing, type TemplateResult } from 'lit';
import { goTo } from '../routing/go-to.js';
import { wordOf } from '../routing/one-time-word.js';
import type { Door } from '../store/door.js';
import type { FormField } from '../templates/form-field.js';
import { typed } from './form.js';
import { LightElement } from './light-element.js';

const who: readonly FormField[] = [
  { name: 'name', label: 'Your name', kind: 'text', autocomplete: 'username' },
  { name: 'password', label: 'A password', kind: 'password', autocomplete: 'new-password' },
];
const word: FormField = {
  name: 'word',
  label: 'One-time word',
  kind: 'text',
  hint: 'It stands in the service’s log, written at its first start.',
};

/** Makes the first administrator, with the one-time word from the service's log. */
export class FirstAdministrator extends LightElement {
  static override properties = { door: { attribute: false }, needed: { attribute: false } };
  declare door: Door | undefined;
  declare needed: boolean;
  /** Taken from the address, where it stays in no history. */
  readonly #word: string;

  constructor() {
    super();
    this.needed = true;
    this.#word = wordOf(location.hash);
    if (location.hash !== '') history.replaceState(null, '', location.pathname);
  }

  protected override render(): TemplateResult | typeof nothing {
    const { door } = this;
    if (door === undefined) return nothing;
    const fields = this.#word === '' ? [word, ...who] : who;
    return html`<h1 tabindex="-1">First administrator</h1>
      ${
        this.needed
          ? html`<p>The first administrator adds the other people. This is done once.</p>
              <section class="panel" aria-label="First administrator">
                <em-form
                  .name=${'first-administrator'}
                  .fields=${fields}
                  .words=${'make me administrator'}
                  .blame=${this.#word === '' ? 'word' : ''}
                  .send=${(values: FormData) => this.#send(door, values)}
                ></em-form>
              </section>`
          : html`<p>
              There is an administrator already, and the one-time word has ended. <a href="/">All winders</a>
            </p>`
      }`;
  }

  async #send(door: Door, values: FormData) {
    const answer = await door.makeFirstAdministrator({
      word: this.#word === '' ? typed(values, 'word').trim() : this.#word,
      name: typed(values, 'name').trim(),
      password: typed(values, 'password'),
    });
    if (answer.ok) goTo('/people');
    return answer;
  }
}
