import { html, nothing, type TemplateResult } from 'lit';
import { becauseWords } from '../model/because-words.js';
import { type ChangeWords, type DoWords, doWords } from '../model/do-words.js';
import { stationHref } from '../model/floor-words.js';
import { gaugeData } from '../model/gauge-data.js';
import { quantityWords } from '../model/quantity-words.js';
import { type StateWords, stateWords } from '../model/state-words.js';
import type { StationContext } from '../model/station-context.js';
import { actByWords, setEndWords } from '../model/when-words.js';
import { liveWords, pageClock } from './clock.js';
import { endViewPicture } from './end-view.js';
import { plate } from './plate.js';

/** State in words, act by and set end, the one change, and why: the top of the one-winder page. */
export function winderHead(context: StationContext): TemplateResult {
  const state = stateWords(context);
  const act = actByWords(context);
  const because = becauseWords(context);
  return html`<section class="head" aria-labelledby="state">
    ${plate(state.level, '', stateLines(state))}
    <p class="when">${act === '' ? nothing : html`<b>${act}</b>`}<span>${setEndWords(context)}</span></p>
    ${who(context)}
    <hr class="rule" />
    <dl class="row-of-words">
      <dt>DO</dt>
      <dd>${doLines(doWords(context))}</dd>
    </dl>
    <dl class="row-of-words because-row">
      <dt>BECAUSE</dt>
      <dd class="because-words ${because.rest.length > longCause ? 'long' : ''}">
        ${because.cause === null ? nothing : html`<b>${because.cause}</b> `}${because.rest}
      </dd>
    </dl>
  </section>`;
}

function stateLines({ headline, sub, priority }: StateWords): TemplateResult {
  const [first = '', second] = headline;
  return html`<h2 class="state" id="state">
    <span class="line-1">${first}</span>
    ${second === undefined ? nothing : html`<span class="line-2">${second}</span>`}
    ${sub === null ? nothing : html`<span class="sub ${sub.length > longReason ? 'long' : ''}">${sub}</span>`}
    ${priority === null ? nothing : html`<span class="prio">${priority}</span>`}
  </h2>`;
}

function doLines(words: DoWords): TemplateResult {
  return html`<p class="do-words">
      ${words.stopRule === null ? nothing : html`<span class="keep">${words.stopRule}</span> `}
      ${words.change === null ? sentence(words) : change(words.change, words.stopRule !== null)}
    </p>
    ${words.notes.length === 0 ? nothing : html`<p class="do-notes">${words.notes.map((note, at) => html`<span class=${at === 0 && words.stopRule !== null ? 'first' : ''}>${capital(note)}. </span>`)}</p>`}`;
}

/** A state that needs nobody says so in regular weight. */
function sentence({ sentence: text, stopRule }: DoWords): TemplateResult {
  const quiet = text === null || text.startsWith('nothing');
  if (quiet) return stopRule === null ? html`<span class="soft">${text}</span>` : html``;
  return html`<span class=${stopRule === null ? '' : 'soft'}>${text}</span>`;
}

function change(words: ChangeWords, afterRule: boolean): TemplateResult {
  const name = afterRule ? `Then ${words.setPoint.toLowerCase()}` : words.setPoint;
  return html`${afterRule ? html`<span class="soft">${name}</span>` : name}
    <span class="keep"
      >${afterRule ? nothing : html`<span class="soft">${words.from}</span> ${arrow()} `}${words.to}</span
    >
    <span class="soft">${words.unit}</span>
    ${afterRule && words.by === 'now' ? nothing : html`<span class="by">${words.by}</span>`}`;
}

function arrow(): TemplateResult {
  return html`<svg class="arrow" viewBox="0 0 92 44" role="img" aria-label="to">
    <path d="M2 30H78" stroke="currentColor" stroke-width="6"></path>
    <path d="M90 30L62 20V40Z" fill="currentColor"></path>
  </svg>`;
}

/** A reason longer than this is set smaller, so that state and reason stay within two or three lines. */
const longReason = 34;
/** So is a cause that would take more than one line at full size. */
const longCause = 46;
/** A name longer than this is set smaller. */
const longName = 12;

function nameSize({ name, stations: { length } }: StationContext['winder']): '' | 'long' | 'longer' {
  if (name.length > 1.4 * longName) return 'longer';
  return name.length > longName || length > 1 ? 'long' : '';
}

function who(context: StationContext): TemplateResult {
  const { winder, station, system } = context;
  const data = gaugeData(context);
  const finding =
    data === null
      ? ''
      : `Roll end view, calculated: wound from core ${quantityWords('diameter', data.coreM, system)} to ${quantityWords('diameter', data.nowM, system)}`;
  return html`<aside class="who" aria-label="Winder">
    <h1 class=${nameSize(winder)} tabindex="-1">${winder.name}</h1>
    ${winder.stations.length > 1 ? stations(context) : nothing}
    <div class="clock">${pageClock(context)}${liveWords(context)}</div>
    ${
      data === null
        ? nothing
        : html`${endViewPicture(data, station.nip?.rollerDiameterM ?? null, finding)}
            <p class="not-a-photograph">calculated, not a photograph</p>`
    }
  </aside>`;
}

function stations({ winder, station }: StationContext): TemplateResult {
  return html`<nav class="stations" aria-label="Stations of ${winder.name}">
    ${winder.stations.map((other) => html`<a href=${stationHref(winder.id, other.id)} aria-current=${other.id === station.id ? 'page' : nothing}>${other.name}</a>`)}
  </nav>`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1).replace(/\.$/, '');
}
