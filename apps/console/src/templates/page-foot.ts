import { html, nothing, type TemplateResult } from 'lit';
import { notWatchedAnywhere, notWatchedHere } from '../model/not-watched-words.js';
import type { StationContext } from '../model/station-context.js';
import type { Route } from '../routing/route.js';
import type { PageView } from './page-view.js';

/** The standing line: what nobody watches, whose rules stand above the advice, and the ways to the other pages. */
export function pageFoot(
  view: PageView,
  route: Route,
  context: StationContext | null,
  onTheme: () => void,
): TemplateResult {
  const open =
    view.contexts.flatMap(({ station }) => station.alarms).length + view.state.serviceAlarms.length;
  const link = (page: Route['page'], href: string, words: string) =>
    html`<a href=${href} aria-current=${route.page === page ? 'page' : nothing}>${words}</a>`;
  return html`<footer class="foot">
    <p>${standing(view, route, context).map((words) => html`<span>${words}</span>`)}</p>
    <nav aria-label="Pages">
      ${link('all-winders', '/', 'all winders')}
      ${link('alarms', '/alarms', open === 0 ? 'alarms' : `alarms ${open}`)}
      <button type="button" @click=${onTheme}>${view.theme === 'dark' ? 'day' : 'night'}</button>
    </nav>
  </footer>`;
}

const advice = 'Advice only: rated limits and site rules first';

function standing(
  { contexts, state }: PageView,
  route: Route,
  context: StationContext | null,
): readonly string[] {
  const live = state.connection.kind === 'live' ? 'data live' : '';
  const parts =
    context !== null
      ? [label('Not watched here', notWatchedHere(context)), advice]
      : route.page === 'all-winders'
        ? ['Rolls to one scale', label('Not watched on any winder', notWatchedAnywhere(contexts)), live]
        : [live];
  return parts.filter((part) => part !== '');
}

function label(name: string, words: string): string {
  return words === '' ? '' : `${name}: ${words}`;
}
