import { html, nothing, type TemplateResult } from 'lit';
import type { Door } from '../store/door.js';
import { signInForm } from '../templates/sign-in-form.js';
import { type Form } from './form.js';
import { LightElement } from './light-element.js';

/** Signs somebody in without leaving the page. */
export class SignInDialog extends LightElement {
  static override properties = { door: { attribute: false }, ended: { state: true } };
  declare door: Door | undefined;
  /** The session ended by itself. */
  declare ended: boolean;

  constructor() {
    super();
    this.ended = false;
  }

  async open(ended: boolean): Promise<void> {
    const dialog = this.querySelector('dialog');
    if (dialog === null || dialog.open) return;
    this.ended = ended;
    await this.updateComplete;
    this.querySelector<Form>('em-form')?.clear();
    dialog.showModal();
    this.querySelector('input')?.focus();
  }

  close(): void {
    this.querySelector('dialog')?.close();
  }

  protected override render(): TemplateResult | typeof nothing {
    const { door } = this;
    if (door === undefined) return nothing;
    return html`<dialog aria-labelledby="sign-in-title" @close=${() => door.leaveEnded()}>
      <h2 id="sign-in-title">${this.ended ? 'Sign in again' : 'Sign in'}</h2>
      ${this.ended ? html`<p>Your session has ended. The page stays as it is; sign in to go on.</p>` : nothing}
      ${signInForm('dialog', door, html`<button type="button" @click=${() => this.close()}>not now</button>`)}
    </dialog>`;
  }
}

/** Opens the page's dialog. */
export function openSignIn(ended: boolean): void {
  void document.querySelector<SignInDialog>('em-sign-in-dialog')?.open(ended);
}
