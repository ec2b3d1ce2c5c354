import { html, type TemplateResult } from 'lit';

/** A page of a title and a sentence. */
export function plainPage(title: string, words: unknown): TemplateResult {
  return html`<main class="plain-page">
    <h1 tabindex="-1">${title}</h1>
    <p>${words}</p>
  </main>`;
}
