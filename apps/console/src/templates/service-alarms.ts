import type { AlarmView } from '@edge-margin/alarms';
import { html, type TemplateResult } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import { mostUrgentFirst } from '../model/alarm-words.js';
import type { ClockWords } from '../model/clock-words.js';
import type { PageView } from './page-view.js';

/** Alarms of the service's own trouble; they stand on the alarms page too. */
export function serviceAlarms(
  view: PageView,
  alarms: readonly AlarmView[],
  since: ClockWords,
): TemplateResult {
  return html`<section data-alarms aria-labelledby="service-alarms">
    <h2 id="service-alarms" tabindex="-1">
      ${alarms.length === 0 ? 'No alarms of its own' : 'Alarms of its own'}
    </h2>
    <ol class="alarm-list">
      ${repeat(
        mostUrgentFirst(alarms),
        (alarm) => alarm.occurrenceId,
        (alarm) =>
          html`<li>
            <em-alarm
              .alarm=${alarm}
              .store=${view.store}
              .session=${view.session}
              .since=${since}
            ></em-alarm>
          </li>`,
      )}
    </ol>
  </section>`;
}
