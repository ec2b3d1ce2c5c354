import type { AlarmView } from '@edge-margin/alarms';
import type { SessionBody } from '@edge-margin/monitoring';
import type { DisplaySystem } from '@edge-margin/units';
import { html, nothing, type TemplateResult } from 'lit';
import { alarmStatus } from '../model/alarm-words.js';
import type { ClockWords } from '../model/clock-words.js';
import { isActive, needsAcknowledgement } from '../model/level.js';
import { type AcknowledgeWay, acknowledgeWay } from '../model/permissions.js';
import { reasonWords } from '../model/reason-words.js';
import { type Acknowledging, acknowledge } from '../store/api-client.js';
import type { ConsoleStore } from '../store/console-store.js';
import { tag } from '../templates/plate.js';
import { askWhoActs } from './acting-dialog.js';
import { LightElement } from './light-element.js';

/** One alarm: priority, what is wrong, what to do, where it stands, and the word to acknowledge it. */
export class AlarmLine extends LightElement {
  static override properties = {
    alarm: { attribute: false },
    store: { attribute: false },
    session: { attribute: false },
    system: { attribute: false },
    since: { attribute: false },
    name: { attribute: false },
    href: { attribute: false },
    brief: { attribute: false },
    busy: { state: true },
    refusal: { state: true },
  };
  declare alarm: AlarmView | undefined;
  declare store: ConsoleStore | undefined;
  declare session: SessionBody | null;
  declare system: DisplaySystem;
  declare since: ClockWords | undefined;
  /** Name of the station, where the page shows several. */
  declare name: string;
  declare href: string;
  /** Leaves the response out where the page already says what to do. */
  declare brief: boolean;
  declare busy: boolean;
  declare refusal: string;

  constructor() {
    super();
    this.session = null;
    this.system = 'metric';
    this.name = '';
    this.href = '';
    this.brief = false;
    this.busy = false;
    this.refusal = '';
  }

  protected override render(): TemplateResult | typeof nothing {
    const { alarm, since } = this;
    if (alarm === undefined || since === undefined) return nothing;
    const what = reasonWords(alarm.because, since, this.system);
    return html`<article
      class="alarm"
      data-priority=${alarm.priority}
      data-active=${isActive(alarm)}
      tabindex="-1"
      aria-label="${alarm.priority} alarm, ${this.name} ${what}"
    >
      ${tag(alarm.priority, alarm.priority)}
      <div>
        ${this.name === '' ? nothing : html`${this.#nameLink()}: `}<b>${what}</b><br />
        <span>${alarmStatus(alarm, since)}</span>
        ${this.brief ? nothing : html`<br /><span class="response">${alarm.response}</span>`}
      </div>
      ${needsAcknowledgement(alarm) ? this.#button(what, acknowledgeWay(this.session)) : nothing}
      <p class="refusal" role="status">${this.refusal}</p>
    </article>`;
  }

  #nameLink(): TemplateResult {
    return this.href === '' ? html`${this.name}` : html`<a href=${this.href}>${this.name}</a>`;
  }

  /** A button that cannot be used stays in its place and says why; pressed, it says it at length. */
  #button(what: string, way: AcknowledgeWay): TemplateResult {
    const allowed = way.kind !== 'not-allowed';
    const press = (): void => {
      if (way.kind === 'not-allowed') this.refusal = way.words;
      else void this.#acknowledge(what, way.kind === 'ask-who');
    };
    return html`<button
      type="button"
      ?disabled=${this.busy}
      aria-disabled=${allowed ? nothing : 'true'}
      aria-label="acknowledge${allowed ? '' : ` ${way.short}`}: ${this.name} ${what}"
      @click=${press}
    >
      acknowledge${allowed ? nothing : html` <small>${way.short}</small>`}
    </button>`;
  }

  async #acknowledge(what: string, asksWho: boolean): Promise<void> {
    const { alarm, store } = this;
    if (alarm === undefined || store === undefined || this.busy) return;
    this.refusal = '';
    const send = async (by: Acknowledging) => {
      this.busy = true;
      const sent = await acknowledge(alarm, by);
      this.busy = false;
      return sent;
    };
    const about = this.name === '' ? what : `${this.name}: ${what}`;
    const answer = asksWho ? await askWhoActs({ about, send }) : await send({});
    if (answer === null) return void this.#backToButton();
    if (!answer.ok) {
      this.refusal = `Not acknowledged: ${answer.words}`;
      return void this.#backToButton();
    }
    this.#keepFocus(answer.body.alarm);
    store.putAlarm(answer.body.alarm);
  }

  async #backToButton(): Promise<void> {
    await this.updateComplete;
    this.querySelector('button')?.focus();
  }

  /** The word to press goes away: focus stays on the alarm, or on its list where the alarm goes too. */
  #keepFocus(alarm: AlarmView): void {
    const target =
      alarm.state === 'NORM'
        ? this.closest('[data-alarms]')?.querySelector<HTMLElement>('[tabindex="-1"]')
        : this.querySelector<HTMLElement>('.alarm');
    target?.focus({ preventScroll: true });
  }
}
