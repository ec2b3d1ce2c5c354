import { html, nothing, type TemplateResult } from 'lit';
import { stationContexts } from '../model/contexts.js';
import { dayHourMinute } from '../model/clock-words.js';
import { stationName } from '../model/floor-words.js';
import { newHighAlarms } from '../model/new-high-alarms.js';
import { simulatedWords, isSimulated, pageNotices } from '../model/page-notices.js';
import { pageTitle } from '../model/page-title.js';
import { stateWords } from '../model/state-words.js';
import type { StationContext } from '../model/station-context.js';
import { followLinks } from '../routing/follow-links.js';
import { type Route, routeOf } from '../routing/route.js';
import { type ConsoleStore, createConsoleStore } from '../store/console-store.js';
import { type Theme, applyTheme, firstTheme, keepTheme } from '../store/theme.js';
import { alarmsPage } from '../templates/alarms-page.js';
import { floorPage } from '../templates/floor-page.js';
import { pageFoot } from '../templates/page-foot.js';
import { hatchPatterns } from '../templates/hatch.js';
import type { PageView } from '../templates/page-view.js';
import { winderPage } from '../templates/winder-page.js';
import { LightElement } from './light-element.js';

/** At most one assertive announcement in this time. */
const announceEveryMs = 1_000;

/** The whole console: chooses the page by its address and keeps what stands on every page. */
export class ConsoleApp extends LightElement {
  static override properties = {
    route: { state: true },
    theme: { state: true },
    announcement: { state: true },
  };
  declare route: Route;
  declare theme: Theme;
  declare announcement: string;
  readonly #store: ConsoleStore = createConsoleStore();
  #announced: ReadonlySet<string> = new Set();
  #announcedAtMs = -Infinity;
  #pageChanged = false;

  constructor() {
    super();
    this.route = routeOf(location.pathname);
    this.theme = firstTheme();
    this.announcement = '';
    applyTheme(this.theme);
  }

  override connectedCallback(): void {
    super.connectedCallback();
    this.#store.subscribe(() => this.#onChange());
    this.#store.start();
    followLinks((path) => {
      this.route = routeOf(path);
      this.#pageChanged = true;
    });
  }

  #onChange(): void {
    this.#announce(stationContexts(this.#store.state(), performance.now()));
    this.requestUpdate();
  }

  /** New high alarms are said at once, in one line, never faster than once a second; what came in between is said together. */
  #announce(contexts: readonly StationContext[]): void {
    const nowMs = performance.now();
    if (nowMs - this.#announcedAtMs < announceEveryMs) return;
    const names = new Map(
      contexts.map((context) => [`${context.winder.id}/${context.station.id}`, stationName(context)]),
    );
    const next = newHighAlarms(
      this.#announced,
      contexts.flatMap((context) => context.station.alarms),
      (alarm) => names.get(`${alarm.winderId}/${alarm.stationId}`) ?? alarm.winderId,
    );
    this.#announced = next.announced;
    if (next.words === null) return;
    this.#announcedAtMs = nowMs;
    this.announcement = next.words;
  }

  protected override updated(): void {
    if (!this.#pageChanged) return;
    this.#pageChanged = false;
    scrollTo(0, 0);
    this.querySelector<HTMLElement>('h1[tabindex="-1"]')?.focus({ preventScroll: true });
  }

  protected override render(): TemplateResult {
    const state = this.#store.state();
    const contexts = stationContexts(state, performance.now());
    const view: PageView = { state, store: this.#store, contexts, theme: this.theme };
    const context = this.#context(contexts);
    document.title = pageTitle(this.route, context, contexts);
    const notices = pageNotices(state, dayHourMinute(this.#store.nowMs() ?? Number.NaN));
    return html`${hatchPatterns()}
      <div role="alert" class="unseen">${this.announcement}</div>
      <div role="status" class="unseen">${spoken(context)}</div>
      <div role="status">${notices.map((words) => html`<p class="notice">${words}</p>`)}</div>
      ${isSimulated(state) ? html`<p class="notice simulated">${simulatedWords}</p>` : nothing}
      ${this.#page(view, context)} ${pageFoot(view, this.route, context, () => this.#toggleTheme())}
      <em-person-dialog></em-person-dialog>`;
  }

  #page(view: PageView, context: StationContext | null): TemplateResult {
    const { winders, connection } = view.state;
    if (winders === null)
      return plainPage(
        'Winders',
        connection.kind === 'lost' ? 'The service gives no answer. Asking again.' : 'Asking the service.',
      );
    switch (this.route.page) {
      case 'all-winders':
        return floorPage(view);
      case 'alarms':
        return alarmsPage(view);
      case 'winder':
        return context === null
          ? plainPage('No such winder', `The plant file has no station at the address ${location.pathname}.`)
          : winderPage(view, context);
      case 'unknown':
        return plainPage('No such page', `Nothing is at the address ${this.route.path}.`);
    }
  }

  #context(contexts: readonly StationContext[]): StationContext | null {
    const { route } = this;
    if (route.page !== 'winder') return null;
    const stations = contexts.filter(({ winder }) => winder.id === route.winderId);
    const found =
      route.stationId === null ? stations[0] : stations.find(({ station }) => station.id === route.stationId);
    return found ?? null;
  }

  #toggleTheme(): void {
    this.theme = this.theme === 'dark' ? 'light' : 'dark';
    applyTheme(this.theme);
    keepTheme(this.theme);
  }
}

/** The state of the winder shown, without numbers that move all the time. */
function spoken(context: StationContext | null): string {
  return context === null ? '' : `${stationName(context)}: ${stateWords(context).spoken}`;
}

function plainPage(title: string, words: string): TemplateResult {
  return html`<main class="plain-page">
    <h1 tabindex="-1">${title}</h1>
    <p>${words}</p>
  </main>`;
}
