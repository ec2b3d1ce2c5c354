import type { PersonView, SessionBody } from '@edge-margin/monitoring';
import { html, nothing, type TemplateResult } from 'lit';
import { openSignIn } from '../elements/sign-in-dialog.js';
import { isSimulated, simulatedWords } from '../model/page-notices.js';
import { officeLinks } from '../model/office-links.js';
import type { Route } from '../routing/route.js';
import type { PageView } from './page-view.js';

/** The quiet line above every page: what is not real here, who is at this screen, and the pages that only some may open. */
export function pageHead(view: PageView, route: Route): TemplateResult {
  const { state } = view;
  const { session } = view.door.state();
  return html`<header class="top">
    ${isSimulated(state) ? html`<p class="simulated">${simulatedWords}</p>` : nothing}
    ${session?.demoPeople ? demoPeople(view, session, session.demoPeople) : nothing}
    ${session === null ? nothing : whoIsHere(view, session, route)}
  </header>`;
}

/** In the demonstration everybody may be anybody: the passwords are no secret, and the service tells them itself. */
function demoPeople(
  { door }: PageView,
  { person }: SessionBody,
  people: NonNullable<SessionBody['demoPeople']>,
): TemplateResult {
  return html`<div class="demo-people" role="group" aria-label="Demonstration door: act as">
    <span>Demonstration door: act as</span>
    ${people.map(({ name, password }) => {
      const here = person?.name === name;
      return html`<button
        type="button"
        aria-pressed=${here}
        aria-label="act as ${name}"
        @click=${() => void door.signIn({ name, password })}
      >
        ${name.replace(/^demo /i, '')}
      </button>`;
    })}
  </div>`;
}

function whoIsHere(view: PageView, session: SessionBody, route: Route): TemplateResult {
  const { person } = session;
  return html`<nav class="here" aria-label="Person">
    ${officeLinks(session).map(({ page, words }) => html`<a href="/${page}" aria-current=${route.page === page ? 'page' : nothing}>${words}</a>`)}
    ${person === null ? signIn(session) : signedIn(view, personWords(session, person), route)}
  </nav>`;
}

function signIn({ openViewing }: SessionBody): TemplateResult | typeof nothing {
  return openViewing
    ? html`<button type="button" @click=${() => openSignIn(false)}>sign in</button>`
    : nothing;
}

/** `Kim Example, operator`; a demonstration's person is named beside it already, and in many plants the name tells the role. */
function personWords({ demoPeople: demo }: SessionBody, { name, role }: PersonView): string {
  if (demo?.some((other) => other.name === name) === true) return 'account';
  return name.toLowerCase().includes(role) ? name : `${name}, ${role}`;
}

function signedIn({ door }: PageView, words: string, route: Route): TemplateResult {
  return html`<a class="person" href="/account" aria-current=${route.page === 'account' ? 'page' : nothing}
      >${words}</a
    >
    <button type="button" @click=${() => void door.signOut()}>sign out</button>`;
}
