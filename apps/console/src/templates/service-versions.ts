import type { ServiceHealthBody } from '@edge-margin/monitoring';
import { html, type TemplateResult } from 'lit';
import type { ClockWords } from '../model/clock-words.js';
import type { PageView } from './page-view.js';

/** Versions and revisions: what somebody who asks for help is asked first. */
export function serviceVersions(
  { startedAtMs, version }: ServiceHealthBody,
  { contexts, state }: PageView,
  since: ClockWords,
): TemplateResult {
  const models = new Set(contexts.flatMap(({ station }) => station.assessment?.modelRevision ?? []));
  const rows: readonly (readonly [string, string])[] = [
    ['version', version],
    ['started', since(startedAtMs)],
    ['model revision', [...models].join(', ') || 'nothing assessed yet'],
    ['configuration revision', state.service?.configurationRevision ?? 'not known'],
  ];
  return html`<section aria-labelledby="versions">
    <h2 id="versions">Versions and revisions</h2>
    <dl class="figures wide">
      ${rows.map(
        ([name, words]) =>
          html`<div>
            <dt>${name}</dt>
            <dd>${words}</dd>
          </div>`,
      )}
    </dl>
  </section>`;
}
