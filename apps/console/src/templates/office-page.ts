import { html, nothing, type TemplateResult } from 'lit';
import type { PageView } from './page-view.js';

/** Pages that are read and used at a desk. */
export function officePage(
  view: PageView,
  page: 'people' | 'keys' | 'audit' | 'service' | 'account' | 'first-administrator',
): TemplateResult {
  return html`<main class="office-page">${content(view, page)}</main>`;
}

function content(view: PageView, page: Parameters<typeof officePage>[1]): TemplateResult | typeof nothing {
  const { door, session } = view;
  const person = session?.person ?? null;
  switch (page) {
    case 'people':
      return html`<em-people .myId=${person?.id ?? ''}></em-people>`;
    case 'keys':
      return html`<em-keys></em-keys>`;
    case 'audit':
      return html`<em-audit></em-audit>`;
    case 'service':
      return html`<em-service .view=${view}></em-service>`;
    case 'account':
      return person === null ? nothing : html`<em-account .door=${door} .person=${person}></em-account>`;
    case 'first-administrator':
      return html`<em-first-administrator
        .door=${door}
        .needed=${session?.needsFirstAdministrator ?? true}
      ></em-first-administrator>`;
  }
}
