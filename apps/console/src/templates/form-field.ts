import { html, nothing, type TemplateResult } from 'lit';

/** One thing that a form asks for. */
export interface FormField {
  /** As the request calls it. */
  readonly name: string;
  readonly label: string;
  readonly kind: 'text' | 'password' | 'number' | 'choice' | 'checks';
  readonly autocomplete?: 'username' | 'current-password' | 'new-password' | 'off';
  readonly hint?: string;
  readonly value?: string;
  /** Needed unless `optional`. */
  readonly optional?: true;
  /** A PIN: digits first on a touch keyboard. */
  readonly digits?: true;
  readonly options?: readonly { readonly value: string; readonly words: string }[];
}

/** A field with its label above it and what is wrong with it below it, tied together for people who listen. */
export function formField(field: FormField, id: string, problem: string): TemplateResult {
  const described = [field.hint === undefined ? '' : `${id}-hint`, problem === '' ? '' : `${id}-problem`]
    .filter((part) => part !== '')
    .join(' ');
  const hint = field.hint === undefined ? nothing : html`<p id="${id}-hint" class="quiet">${field.hint}</p>`;
  const wrong = html`<p id="${id}-problem" class="problem">${problem}</p>`;
  if (field.kind === 'checks')
    return html`<fieldset
      class="field"
      tabindex="-1"
      id=${id}
      aria-describedby=${described === '' ? nothing : described}
    >
      <legend>${field.label}</legend>
      ${hint}
      ${(field.options ?? []).map(({ value, words }) => html`<label class="choice"><input type="checkbox" name=${field.name} value=${value} />${words}</label>`)}
      ${wrong}
    </fieldset>`;
  return html`<div class="field">
    <label for=${id}>${field.label}</label>
    ${hint}
    ${field.kind === 'choice' ? choice(field, id, problem, described) : input(field, id, problem, described)}
    ${wrong}
  </div>`;
}

function input(field: FormField, id: string, problem: string, described: string): TemplateResult {
  return html`<input
    id=${id}
    name=${field.name}
    type=${field.kind}
    value=${field.value ?? nothing}
    autocomplete=${field.autocomplete ?? 'off'}
    inputmode=${field.digits === true ? 'numeric' : nothing}
    aria-required=${field.optional === true ? nothing : 'true'}
    aria-describedby=${described === '' ? nothing : described}
    aria-invalid=${problem === '' ? nothing : 'true'}
    autocapitalize="none"
    spellcheck="false"
  />`;
}

function choice(field: FormField, id: string, problem: string, described: string): TemplateResult {
  return html`<select
    id=${id}
    name=${field.name}
    aria-describedby=${described === '' ? nothing : described}
    aria-invalid=${problem === '' ? nothing : 'true'}
  >
    ${(field.options ?? []).map(({ value, words }) => html`<option value=${value} ?selected=${value === field.value}>${words}</option>`)}
  </select>`;
}
