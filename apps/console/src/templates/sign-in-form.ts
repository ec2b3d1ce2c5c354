import { html, nothing, type TemplateResult } from 'lit';
import { typed } from '../elements/form.js';
import type { Door } from '../store/door.js';
import type { FormField } from './form-field.js';

const fields: readonly FormField[] = [
  { name: 'name', label: 'Name', kind: 'text', autocomplete: 'username' },
  { name: 'password', label: 'Password', kind: 'password', autocomplete: 'current-password' },
];

/** Name and password. Password managers and paste work (WCAG 2.2, 3.3.8). */
export function signInForm(
  place: 'page' | 'dialog',
  door: Door,
  beside: TemplateResult | typeof nothing = nothing,
): TemplateResult {
  return html`<em-form
    .name=${`sign-in-${place}`}
    .fields=${fields}
    .words=${'sign in'}
    .blame=${'password'}
    .beside=${beside}
    .send=${(values: FormData) =>
      door.signIn({ name: typed(values, 'name'), password: typed(values, 'password') })}
  ></em-form>`;
}
