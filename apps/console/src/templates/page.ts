import { html, type TemplateResult } from 'lit';
import { actionFor } from '../model/office-links.js';
import { mayDo } from '../model/permissions.js';
import type { StationContext } from '../model/station-context.js';
import type { Route } from '../routing/route.js';
import { alarmsPage } from './alarms-page.js';
import { floorPage } from './floor-page.js';
import { officePage } from './office-page.js';
import type { PageView } from './page-view.js';
import { plainPage } from './plain-page.js';
import { winderPage } from './winder-page.js';

/** The page of an address. */
export function pageOf(view: PageView, route: Route, context: StationContext | null): TemplateResult {
  switch (route.page) {
    case 'people':
    case 'keys':
    case 'audit':
    case 'service':
    case 'account':
    case 'first-administrator':
      return view.session === null ? asking(view) : guarded(view, route.page);
    case 'all-winders':
      return known(view) ?? floorPage(view);
    case 'alarms':
      return known(view) ?? alarmsPage(view);
    case 'winder':
      return (
        known(view) ??
        (context === null
          ? plainPage('No such winder', `The plant file has no station at the address ${location.pathname}.`)
          : winderPage(view, context))
      );
    case 'unknown':
      return plainPage('No such page', `Nothing is at the address ${route.path}.`);
  }
}

function guarded(view: PageView, page: Parameters<typeof officePage>[1]): TemplateResult {
  const action = actionFor(page);
  const who = view.session?.person ?? null;
  if ((action === null || mayDo(view.session, action)) && (page !== 'account' || who !== null))
    return officePage(view, page);
  const words =
    who === null ? html`Sign in as somebody who may open it.` : `The role ${who.role} may not open it.`;
  return plainPage('This page is not for everybody', words);
}

/** Instead of a page that shows winders, as long as nothing is known of them. */
function known(view: PageView): TemplateResult | null {
  return view.state.winders === null ? asking(view) : null;
}

function asking({ state }: PageView): TemplateResult {
  return plainPage(
    'Winders',
    state.connection.kind === 'lost' ? 'The service gives no answer. Asking again.' : 'Asking the service.',
  );
}
