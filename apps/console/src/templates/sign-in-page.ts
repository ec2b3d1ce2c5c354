import { html, nothing, type TemplateResult } from 'lit';
import { noAdministratorWords } from '../model/page-notices.js';
import type { PageView } from './page-view.js';
import { signInForm } from './sign-in-form.js';

/** All that somebody sees who may not look without signing in. */
export function signInPage({ door, session }: PageView): TemplateResult {
  return html`<main class="office-page sign-in-page">
    <h1 tabindex="-1">Sign in</h1>
    ${session?.needsFirstAdministrator === true ? html`<p>${noAdministratorWords}.</p>` : nothing}
    <section class="panel" aria-label="Sign in">${signInForm('page', door)}</section>
  </main>`;
}
