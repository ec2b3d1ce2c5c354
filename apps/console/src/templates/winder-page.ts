import type { AlarmView } from '@edge-margin/alarms';
import { html, nothing, type TemplateResult } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import { countWords, mostUrgentFirst } from '../model/alarm-words.js';
import { gaugeData } from '../model/gauge-data.js';
import { inHandRows } from '../model/in-hand-rows.js';
import type { StationContext } from '../model/station-context.js';
import { alarmsKnown } from './alarms-known.js';
import { inHandPicture } from './in-hand.js';
import { numbersTables } from './numbers-tables.js';
import type { PageView } from './page-view.js';
import { winderHead } from './winder-head.js';

/** One winder: what to do at a glance from across the hall, and further down what is read from the chair. */
export function winderPage(view: PageView, context: StationContext): TemplateResult {
  const alarms = mostUrgentFirst(context.station.alarms);
  const [first, ...others] = alarms;
  return html`<main>
    ${winderHead(context)}
    <em-risk-gauge .context=${context}></em-risk-gauge>
    <div class="low-part">
      ${inHandPicture(inHandRows(context))}
      <section aria-label="Alarms" data-alarms>
        <h2 class="unseen" tabindex="-1">Alarms</h2>
        ${alarmsKnown(context)}
        ${
          first === undefined
            ? html`<p class="no-alarm">no alarms on this station</p>`
            : repeat(
                [first],
                (alarm) => alarm.occurrenceId,
                (alarm) => alarmLine(view, context, alarm, alarm.mechanism !== 'signal'),
              )
        }
        ${others.length === 0 ? nothing : html`<p><a href="#more-alarms">and ${countWords(others.length)} more</a></p>`}
      </section>
    </div>
    <div class="below">
      <em-trends .context=${context} .store=${view.store} .theme=${view.theme}></em-trends>
      ${others.length === 0 ? nothing : moreAlarms(view, context, others)}
      ${numbersTables(context, gaugeData(context))}
    </div>
  </main>`;
}

function moreAlarms(view: PageView, context: StationContext, alarms: readonly AlarmView[]): TemplateResult {
  return html`<section data-alarms aria-labelledby="more-alarms">
    <h2 id="more-alarms" tabindex="-1">More alarms on this station</h2>
    <ol class="alarm-list">
      ${repeat(
        alarms,
        (alarm) => alarm.occurrenceId,
        (alarm) => html`<li>${alarmLine(view, context, alarm)}</li>`,
      )}
    </ol>
  </section>`;
}

function alarmLine(view: PageView, context: StationContext, alarm: AlarmView, brief = false): TemplateResult {
  return html`<em-alarm
    .brief=${brief}
    .alarm=${alarm}
    .store=${view.store}
    .session=${view.session}
    .system=${context.system}
    .since=${context.since}
  ></em-alarm>`;
}
