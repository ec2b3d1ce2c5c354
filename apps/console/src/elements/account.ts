import type { PersonView } from '@edge-margin/monitoring';
import { html, nothing, type TemplateResult } from 'lit';
import type { Door } from '../store/door.js';
import type { FormField } from '../templates/form-field.js';
import { typed } from './form.js';
import { LightElement } from './light-element.js';

const present: FormField = {
  name: 'password',
  label: 'Present password',
  kind: 'password',
  autocomplete: 'current-password',
};
const passwordFields: readonly FormField[] = [
  present,
  { name: 'newPassword', label: 'New password', kind: 'password', autocomplete: 'new-password' },
];
const pinFields: readonly FormField[] = [
  present,
  {
    name: 'newPin',
    label: 'New PIN',
    kind: 'password',
    digits: true,
    hint: 'Four to eight digits. With it you act at a screen where nobody is signed in.',
  },
];

/** One's own password and PIN. */
export class Account extends LightElement {
  static override properties = { door: { attribute: false }, person: { attribute: false } };
  declare door: Door | undefined;
  declare person: PersonView | undefined;

  protected override render(): TemplateResult | typeof nothing {
    const { door, person } = this;
    if (door === undefined || person === undefined) return nothing;
    return html`<h1 tabindex="-1">${person.name}</h1>
      <p>You are signed in as ${person.role}.</p>
      <section class="panel" aria-labelledby="own-password">
        <h2 id="own-password">Password</h2>
        <em-form
          .name=${'own-password'}
          .fields=${passwordFields}
          .words=${'change the password'}
          .blame=${'password'}
          .doneWords=${'Changed.'}
          .send=${(values: FormData) =>
            door.changePassword({
              password: typed(values, 'password'),
              newPassword: typed(values, 'newPassword'),
            })}
        ></em-form>
      </section>
      <section class="panel" aria-labelledby="own-pin">
        <h2 id="own-pin">PIN</h2>
        <p>${person.hasPin ? 'A PIN is set.' : 'No PIN is set.'}</p>
        <em-form
          .name=${'own-pin'}
          .fields=${pinFields}
          .words=${person.hasPin ? 'change the PIN' : 'set the PIN'}
          .blame=${'password'}
          .doneWords=${'Done.'}
          .send=${(values: FormData) =>
            door.changePin({ password: typed(values, 'password'), newPin: typed(values, 'newPin') })}
        ></em-form>
        ${person.hasPin ? this.#takeAway(door) : nothing}
      </section>`;
  }

  #takeAway(door: Door): TemplateResult {
    return html`<details>
      <summary>take the PIN away</summary>
      <em-form
        .name=${'no-pin'}
        .fields=${[present]}
        .words=${'take the PIN away'}
        .blame=${'password'}
        .send=${(values: FormData) => door.changePin({ password: typed(values, 'password'), newPin: null })}
      ></em-form>
    </details>`;
  }
}
