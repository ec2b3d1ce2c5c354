import type { AlarmView } from '@edge-margin/alarms';
import { html, nothing, type TemplateResult } from 'lit';
import { alarmStatus } from '../model/alarm-words.js';
import type { ClockWords } from '../model/clock-words.js';
import { isActive, needsAcknowledgement } from '../model/level.js';
import { reasonWords } from '../model/reason-words.js';
import { acknowledge } from '../store/api-client.js';
import type { ConsoleStore } from '../store/console-store.js';
import { person } from '../store/person.js';
import { tag } from '../templates/plate.js';
import { LightElement } from './light-element.js';
import { askPerson } from './person-dialog.js';

/** One alarm: priority, what is wrong, what to do, where it stands, and the word to acknowledge it. */
export class AlarmLine extends LightElement {
  static override properties = {
    alarm: { attribute: false },
    store: { attribute: false },
    since: { attribute: false },
    name: { attribute: false },
    href: { attribute: false },
    brief: { attribute: false },
    busy: { state: true },
    refusal: { state: true },
  };
  declare alarm: AlarmView | undefined;
  declare store: ConsoleStore | undefined;
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
    this.name = '';
    this.href = '';
    this.brief = false;
    this.busy = false;
    this.refusal = '';
  }

  protected override render(): TemplateResult | typeof nothing {
    const { alarm, since } = this;
    if (alarm === undefined || since === undefined) return nothing;
    const what = reasonWords(alarm.because, since);
    return html`<article
      class="alarm"
      data-priority=${alarm.priority}
      data-active=${isActive(alarm)}
      tabindex="-1"
      aria-label="${alarm.priority} alarm, ${this.name} ${what}"
    >
      ${tag(alarm.priority, alarm.priority)}
      <div>
        ${this.name === '' ? nothing : html`<a href=${this.href}>${this.name}</a>: `}<b>${what}</b><br />
        <span>${alarmStatus(alarm, since)}</span>
        ${this.brief ? nothing : html`<br /><span class="response">${alarm.response}</span>`}
      </div>
      ${needsAcknowledgement(alarm) ? html`<button type="button" ?disabled=${this.busy} aria-label="acknowledge: ${this.name} ${what}" @click=${() => void this.#acknowledge()}>acknowledge</button>` : nothing}
      <p class="refusal" role="status">${this.refusal}</p>
    </article>`;
  }

  async #acknowledge(): Promise<void> {
    const { alarm, store } = this;
    if (alarm === undefined || store === undefined || this.busy) return;
    const actor = person() ?? (await askPerson());
    if (actor === null) return;
    this.busy = true;
    this.refusal = '';
    const answer = await acknowledge(alarm, actor);
    this.busy = false;
    if (!answer.ok) {
      this.refusal = `Not acknowledged: ${answer.words}`;
      await this.updateComplete;
      this.querySelector('button')?.focus();
      return;
    }
    this.#keepFocus(answer.body.alarm);
    store.putAlarm(answer.body.alarm);
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
