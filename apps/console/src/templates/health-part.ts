import type { PartHealth } from '@edge-margin/monitoring';
import { html, nothing, type TemplateResult } from 'lit';
import type { ClockWords } from '../model/clock-words.js';
import { figureWords, partStateWords, partWords } from '../model/health-words.js';
import { reasonWords } from '../model/reason-words.js';

/** One part of the service: its state in words, since when and why, and its figures. */
export function healthPart(
  { because, figures, part, sinceMs, state }: PartHealth,
  since: ClockWords,
): TemplateResult {
  const { name, purpose } = partWords(part);
  return html`<li class="part" data-state=${state}>
    <h2>${name} <small>${purpose}</small></h2>
    <p class="part-state">
      <b>${partStateWords(state)}</b
      >${state === 'off' ? nothing : html` <span class="quiet">since ${since(sinceMs)}</span>`}
    </p>
    ${
      because.length === 0
        ? nothing
        : html`<ul class="whys">
            ${because.map((why) => html`<li>${capital(reasonWords(why, since))}</li>`)}
          </ul>`
    }
    ${
      figures.length === 0
        ? nothing
        : html`<dl class="figures">
            ${figures.map(
              (figure) =>
                html`<div>
                  <dt>${figure.label}</dt>
                  <dd>${figureWords(figure, since)}</dd>
                </div>`,
            )}
          </dl>`
    }
  </li>`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
