import type { KeepingBody, KeptView } from '@edge-margin/monitoring';
import { html, nothing, type TemplateResult } from 'lit';
import type { ClockWords } from '../model/clock-words.js';
import { keptWhereWords, keptWords } from '../model/keeping-words.js';
import { reasonWords } from '../model/reason-words.js';

/** What is kept how long, by the settings in force, and why less is let go of at present. */
export function whatIsKept({ heldBack, kept }: KeepingBody, since: ClockWords): TemplateResult {
  return html`<section aria-labelledby="keeping">
    <h2 id="keeping">What is kept how long</h2>
    ${heldBack === null ? nothing : html`<p><b>${reasonWords(heldBack, since)}</b></p>`}
    <div
      class="frame"
      role="region"
      aria-label="What is kept how long, by the settings in force"
      tabindex="0"
    >
      <table class="office">
        <thead>
          <tr>
            <th scope="col">what</th>
            <th scope="col">where</th>
            <th scope="col">how long</th>
            <th scope="col">setting</th>
          </tr>
        </thead>
        <tbody>
          ${kept.map(keptRow)}
        </tbody>
      </table>
    </div>
    ${
      kept.some(({ where }) => where === 'influxdb')
        ? html`<p class="quiet">
            Retention policies in InfluxDB are made once, with these times. One that is there already is left
            as it is: change it there.
          </p>`
        : nothing
    }
  </section>`;
}

function keptRow(view: KeptView): TemplateResult {
  return html`<tr>
    <th scope="row">${view.label}</th>
    <td>${keptWhereWords(view.where)}</td>
    <td>${keptWords(view)}</td>
    <td class="setting">${view.setting === null ? 'none' : html`<code>${view.setting}</code>`}</td>
  </tr>`;
}
