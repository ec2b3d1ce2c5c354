import type { ReadingsNotUsedBody } from '@edge-margin/monitoring';
import { html, nothing, type TemplateResult } from 'lit';
import type { ClockWords } from '../model/clock-words.js';
import { shortNumber } from '../model/health-words.js';
import { reasonWords } from '../model/reason-words.js';

/** Readings that were refused, by reason, with the latest of each as a sample: whoever wires signals looks here first. */
export function readingsNotUsed({ byReason, total }: ReadingsNotUsedBody, since: ClockWords): TemplateResult {
  return html`<section aria-labelledby="not-used">
    <h2 id="not-used">Readings not used: ${total === 0 ? 'none' : shortNumber(total)}</h2>
    ${
      byReason.length === 0
        ? nothing
        : html`<div class="frame" role="region" aria-label="Readings not used, by reason" tabindex="0">
            <table class="office">
              <thead>
                <tr>
                  <th scope="col">why</th>
                  <th scope="col" class="number">how many</th>
                  <th scope="col">last</th>
                  <th scope="col">topic</th>
                  <th scope="col">sample</th>
                </tr>
              </thead>
              <tbody>
                ${[...byReason].sort((a, b) => b.count - a.count).map((row) => notUsedRow(row, since))}
              </tbody>
            </table>
          </div>`
    }
  </section>`;
}

function notUsedRow(
  { count, last, lastAtMs }: ReadingsNotUsedBody['byReason'][number],
  since: ClockWords,
): TemplateResult {
  return html`<tr>
    <th scope="row">${reasonWords(last.because, since)}</th>
    <td class="number">${shortNumber(count)}</td>
    <td>${since(lastAtMs)}</td>
    <td><code>${last.topic}</code></td>
    <td><code>${last.sample}</code></td>
  </tr>`;
}
