import { html, nothing, type TemplateResult } from 'lit';
import { stationContexts } from '../model/contexts.js';
import { dayHourMinute } from '../model/clock-words.js';
import { stationName } from '../model/floor-words.js';
import { newHighAlarms } from '../model/new-high-alarms.js';
import { pageNotices } from '../model/page-notices.js';
import { pageTitle } from '../model/page-title.js';
import { mayLook } from '../model/permissions.js';
import { reasonWords } from '../model/reason-words.js';
import { stateWords } from '../model/state-words.js';
import type { StationContext } from '../model/station-context.js';
import { followLinks } from '../routing/follow-links.js';
import { type Route, routeOf } from '../routing/route.js';
import { isOfService } from '../store/console-state.js';
import { type ConsoleStore, createConsoleStore } from '../store/console-store.js';
import { createDoor, type Door, type DoorState } from '../store/door.js';
import { type Theme, applyTheme, firstTheme, keepTheme } from '../store/theme.js';
import { hatchPatterns } from '../templates/hatch.js';
import { pageOf } from '../templates/page.js';
import { pageFoot } from '../templates/page-foot.js';
import { pageHead } from '../templates/page-head.js';
import type { PageView } from '../templates/page-view.js';
import { signInPage } from '../templates/sign-in-page.js';
import { LightElement } from './light-element.js';
import { openSignIn, type SignInDialog } from './sign-in-dialog.js';

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
  readonly #door: Door = createDoor();
  readonly #store: ConsoleStore = createConsoleStore(
    () => mayAsk(this.#door.state()),
    () => void this.#door.check(),
  );
  #here: string | null = null;
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
    this.#door.subscribe(() => this.#onDoor());
    void this.#door.start().then(() => this.#store.start());
    followLinks((path) => {
      this.route = routeOf(path);
      this.#pageChanged = true;
    });
  }

  /** Whoever comes in sees everything anew; a session that ended by itself takes nothing off the page. */
  #onDoor(): void {
    this.requestUpdate();
    const { ended, session } = this.#door.state();
    if (ended) {
      openSignIn(true);
      return;
    }
    const here = session === null ? null : `${session.person?.id ?? ''}/${String(mayLook(session))}`;
    if (this.#here !== null && here !== this.#here) this.#store.renew();
    this.#here = here;
    if (session?.person) this.querySelector<SignInDialog>('em-sign-in-dialog')?.close();
  }

  #onChange(): void {
    this.#announce(stationContexts(this.#store.state(), performance.now()));
    this.requestUpdate();
  }

  /** New high alarms are said at once, in one line, never faster than once a second; what came in between is said together. */
  #announce(contexts: readonly StationContext[]): void {
    const nowMs = performance.now();
    if (nowMs - this.#announcedAtMs < announceEveryMs) return;
    const { service, serviceAlarms } = this.#store.state();
    const names = new Map(
      contexts.map((context) => [`${context.winder.id}/${context.station.id}`, stationName(context)]),
    );
    const since = dayHourMinute(this.#store.nowMs() ?? Number.NaN);
    const next = newHighAlarms(
      this.#announced,
      [...contexts.flatMap((context) => context.station.alarms), ...serviceAlarms],
      (alarm) =>
        isOfService(alarm)
          ? 'Service'
          : (names.get(`${alarm.winderId}/${alarm.stationId}`) ?? alarm.winderId),
      ({ because }) => reasonWords(because, since, service?.display),
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
    const door = this.#door.state();
    const contexts = stationContexts(state, performance.now());
    const view: PageView = {
      state,
      store: this.#store,
      contexts,
      theme: this.theme,
      door: this.#door,
      session: door.shown,
    };
    const context = this.#context(contexts);
    const closed = isClosed(door) && this.route.page !== 'first-administrator';
    document.title = closed ? 'Sign in' : pageTitle(this.route, context, contexts, state.serviceAlarms);
    const notices = pageNotices(state, door, dayHourMinute(this.#store.nowMs() ?? Number.NaN));
    return html`${hatchPatterns()}
      <div role="alert" class="unseen">${this.announcement}</div>
      <div role="status" class="unseen">${spoken(context)}</div>
      <div role="status">${notices.map((words) => html`<p class="notice">${words}</p>`)}</div>
      ${pageHead(view, this.route)} ${closed ? signInPage(view) : pageOf(view, this.route, context)}
      ${isClosed(door) ? nothing : pageFoot(view, this.route, context, () => this.#toggleTheme())}
      <em-acting-dialog></em-acting-dialog>
      ${closed ? nothing : html`<em-sign-in-dialog .door=${this.#door}></em-sign-in-dialog>`}`;
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

/** Nobody may look: the service has said so, and no session has just ended under a page. */
function isClosed({ ended, session }: DoorState): boolean {
  return session !== null && !ended && !mayLook(session);
}

/** As long as nobody has answered, the service is asked all the same: whatever is wrong is shown then. */
function mayAsk({ session }: DoorState): boolean {
  return session === null || mayLook(session);
}
