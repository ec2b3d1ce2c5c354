import { type Action, keyActions } from '@edge-margin/access';
import type { KeyView, NewKeyBody } from '@edge-margin/monitoring';
import { html, nothing, type TemplateResult } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import { dayHourMinute } from '../model/clock-words.js';
import { actionName } from '../model/permissions.js';
import { endKey, fetchKeys, makeKey } from '../store/door-client.js';
import type { FormField } from '../templates/form-field.js';
import { typed } from './form.js';
import { LightElement } from './light-element.js';

const newKeyFields: readonly FormField[] = [
  { name: 'label', label: 'What it is for', kind: 'text', hint: 'Such as: historian, hall 1' },
  {
    name: 'actions',
    label: 'What it may do',
    kind: 'checks',
    options: keyActions.map((action) => ({ value: action, words: actionName(action) })),
  },
  { name: 'validDays', label: 'Days until it ends, 1 to 366', kind: 'number', value: '90' },
];

/** Keys with which other machines ask the service. */
export class Keys extends LightElement {
  static override properties = {
    keys: { state: true },
    problem: { state: true },
    fresh: { state: true },
    copied: { state: true },
    ending: { state: true },
  };
  declare keys: readonly KeyView[] | null;
  declare problem: string;
  /** The key just made: the only time that it is seen. */
  declare fresh: NewKeyBody | null;
  declare copied: string;
  /** Asked once more before a key ends. */
  declare ending: string | null;

  constructor() {
    super();
    this.keys = null;
    this.problem = '';
    this.fresh = null;
    this.copied = '';
    this.ending = null;
  }

  override connectedCallback(): void {
    super.connectedCallback();
    void this.#load();
  }

  async #load(): Promise<void> {
    const answer = await fetchKeys();
    this.problem = answer.ok ? '' : `The list cannot be shown: ${answer.words}`;
    if (answer.ok) this.keys = answer.body.keys;
  }

  protected override render(): TemplateResult {
    return html`<h1 tabindex="-1">Keys for machines</h1>
      <p class="quiet">Sent as <code>Authorization: Bearer</code> and the key.</p>
      <p role="status" class="problem">${this.problem}</p>
      ${this.fresh === null ? nothing : this.#freshKey(this.fresh)}
      ${this.keys === null ? nothing : this.#table(this.keys)}
      <section class="panel" aria-labelledby="new-key">
        <h2 id="new-key">New key</h2>
        <em-form
          .name=${'new-key'}
          .fields=${newKeyFields}
          .words=${'make this key'}
          .blame=${'label'}
          .send=${async (values: FormData) => {
            const answer = await makeKey({
              label: typed(values, 'label').trim(),
              actions: values.getAll('actions') as Action[],
              validDays: Number(typed(values, 'validDays')),
            });
            if (answer.ok) void this.#show(answer.body);
            return answer;
          }}
        ></em-form>
      </section>`;
  }

  async #show(made: NewKeyBody): Promise<void> {
    this.fresh = made;
    this.copied = '';
    void this.#load();
    await this.updateComplete;
    this.querySelector<HTMLElement>('#fresh-key')?.focus();
  }

  #freshKey({ key, view }: NewKeyBody): TemplateResult {
    return html`<section class="panel fresh" aria-labelledby="fresh-title">
      <h2 id="fresh-title">The new key for ${view.label}</h2>
      <p>It is shown this once. Copy it now: the service keeps no copy that could be read.</p>
      <div class="field">
        <label for="fresh-key">Key</label>
        <input
          id="fresh-key"
          type="text"
          readonly
          .value=${key}
          @focus=${(event: FocusEvent) => (event.target as HTMLInputElement).select()}
        />
      </div>
      <div class="answers">
        <button type="button" @click=${() => void this.#copy(key)}>copy</button>
        <button type="button" @click=${() => (this.fresh = null)}>I have it, put it away</button>
        <p role="status">${this.copied}</p>
      </div>
    </section>`;
  }

  async #copy(key: string): Promise<void> {
    try {
      await navigator.clipboard.writeText(key);
      this.copied = 'Copied.';
    } catch {
      // Not over plain HTTP, or not allowed: the field is selected, so that the keyboard copies it.
      this.querySelector<HTMLInputElement>('#fresh-key')?.focus();
      this.copied = 'This browser copies only by hand: the key is selected, press Ctrl+C.';
    }
  }

  #table(keys: readonly KeyView[]): TemplateResult {
    if (keys.length === 0) return html`<p class="quiet">There is no key.</p>`;
    return html`<div class="frame" role="region" aria-label="Keys" tabindex="0">
      <table class="office">
        <thead>
          <tr>
            <th scope="col">for</th>
            <th scope="col">begins with</th>
            <th scope="col">may</th>
            <th scope="col">made</th>
            <th scope="col">ends</th>
            <th scope="col">last used</th>
            <th scope="col"><span class="unseen">end it</span></th>
          </tr>
        </thead>
        <tbody>
          ${repeat(
            keys,
            ({ id }) => id,
            (key) => this.#row(key),
          )}
        </tbody>
      </table>
    </div>`;
  }

  #row(key: KeyView): TemplateResult {
    const nowMs = Date.now();
    const since = dayHourMinute(nowMs);
    const over = key.expiresAtMs <= nowMs;
    return html`<tr data-active=${!over}>
      <th scope="row">${key.label}</th>
      <td><code>${key.beginsWith}…</code></td>
      <td>${key.actions.map(actionName).join('; ')}</td>
      <td>${since(key.createdAtMs)}</td>
      <td>${over ? 'ended ' : ''}${since(key.expiresAtMs)}</td>
      <td>${key.lastUsedAtMs === null ? 'never' : since(key.lastUsedAtMs)}</td>
      <td>${this.#endButton(key)}</td>
    </tr>`;
  }

  #endButton(key: KeyView): TemplateResult {
    if (this.ending !== key.id)
      return html`<button
        type="button"
        aria-label="end it: the key for ${key.label}"
        @click=${() => (this.ending = key.id)}
      >
        end it
      </button>`;
    return html`<span class="answers"
      ><button
        type="button"
        aria-label="end it now: the key for ${key.label}"
        @click=${() => void this.#end(key)}
      >
        end it now</button
      ><button type="button" @click=${() => (this.ending = null)}>keep it</button></span
    >`;
  }

  async #end(key: KeyView): Promise<void> {
    const answer = await endKey(key.id);
    this.ending = null;
    if (answer.ok && this.fresh?.view.id === key.id) this.fresh = null;
    await this.#load();
    if (!answer.ok) this.problem = `The key for ${key.label} has not ended: ${answer.words}`;
  }
}
