import type { AlarmView } from '@edge-margin/alarms';
import { html, nothing, type TemplateResult } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import { countWords, mostUrgentFirst } from '../model/alarm-words.js';
import { dayHourMinute } from '../model/clock-words.js';
import { stationHref, stationName } from '../model/floor-words.js';
import { mayDo } from '../model/permissions.js';
import type { StationContext } from '../model/station-context.js';
import { isOfService } from '../store/console-state.js';
import { alarmsKnown } from './alarms-known.js';
import { liveWords, pageClock } from './clock.js';
import type { PageView } from './page-view.js';

/** Every open alarm, most urgent first, and below it what happened. */
export function alarmsPage(view: PageView): TemplateResult {
  const alarms = mostUrgentFirst([
    ...view.contexts.flatMap((context) => context.station.alarms),
    ...view.state.serviceAlarms,
  ]);
  const names = new Map(
    view.contexts.map((context) => [`${context.winder.id}/${context.station.id}`, context]),
  );
  const [any] = view.contexts;
  return html`<main class="alarms-page">
    <section data-alarms aria-labelledby="open-alarms">
      <header class="alarms-head">
        <h1 id="open-alarms" tabindex="-1">
          ${alarms.length === 0 ? 'No open alarms' : `${capital(countWords(alarms.length))} open alarm${alarms.length === 1 ? '' : 's'}`}
        </h1>
        ${
          any === undefined
            ? nothing
            : html`<div class="clock">${pageClock(any)}</div>
                ${any.liveness.kind === 'no-connection' ? liveWords(any) : nothing}`
        }
      </header>
      ${any === undefined ? nothing : alarmsKnown(any)}
      <ol class="alarm-list">
        ${repeat(
          alarms,
          (alarm) => alarm.occurrenceId,
          (alarm) => html`<li>${line(view, names, alarm)}</li>`,
        )}
      </ol>
    </section>
    <em-journal
      .store=${view.store}
      .names=${names}
      .system=${view.state.service?.display ?? 'metric'}
    ></em-journal>
  </main>`;
}

function line(view: PageView, names: ReadonlyMap<string, StationContext>, alarm: AlarmView): TemplateResult {
  const context = names.get(`${alarm.winderId}/${alarm.stationId}`);
  const ofService = isOfService(alarm);
  const name = ofService
    ? 'Service'
    : context === undefined
      ? `${alarm.winderId}, ${alarm.stationId}`
      : stationName(context);
  const href = ofService ? serviceHref(view) : stationHref(alarm.winderId, alarm.stationId);
  return html`<em-alarm
    .alarm=${alarm}
    .store=${view.store}
    .session=${view.session}
    .system=${view.state.service?.display ?? 'metric'}
    .since=${context?.since ?? dayHourMinute(Number.NaN)}
    .name=${name}
    .href=${href}
  ></em-alarm>`;
}

/** Only for whoever may open it. */
function serviceHref({ session }: PageView): string {
  return mayDo(session, 'view-service-health') ? '/service' : '';
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
