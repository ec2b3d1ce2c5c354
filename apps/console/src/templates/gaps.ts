import type { GapsBody } from '@edge-margin/monitoring';
import { html, nothing, type TemplateResult } from 'lit';
import type { ClockWords } from '../model/clock-words.js';
import { gapCountWords, gapLengthWords, gapsTitle, missingWords } from '../model/gap-words.js';
import { reasonWords } from '../model/reason-words.js';

/** What is missing, how long and why: whoever looks at a trend with a hole in it looks here. */
export function gapsOfLastDay({ gaps, more }: GapsBody, since: ClockWords): TemplateResult {
  return html`<section aria-labelledby="gaps">
    <h2 id="gaps">${gapsTitle(gaps.length, more)}</h2>
    ${
      gaps.length === 0
        ? nothing
        : html`<div class="frame" role="region" aria-label="What is missing, newest first" tabindex="0">
            <table class="office">
              <thead>
                <tr>
                  <th scope="col">from</th>
                  <th scope="col">to</th>
                  <th scope="col">how long</th>
                  <th scope="col">why</th>
                  <th scope="col">what</th>
                  <th scope="col" class="number">how many</th>
                </tr>
              </thead>
              <tbody>
                ${gaps.map((gap) => gapRow(gap, since))}
              </tbody>
            </table>
          </div>`
    }
    ${more ? html`<p class="quiet">These are the latest; the others are in <code>GET /api/gaps</code>.</p>` : nothing}
  </section>`;
}

function gapRow(gap: GapsBody['gaps'][number], since: ClockWords): TemplateResult {
  return html`<tr>
    <td>${since(gap.fromMs)}</td>
    <td>${since(gap.toMs)}</td>
    <td>${gapLengthWords(gap)}</td>
    <td>${reasonWords(gap.because, since)}</td>
    <td>${missingWords(gap.what)}</td>
    <td class="number">${gapCountWords(gap.count)}</td>
  </tr>`;
}
