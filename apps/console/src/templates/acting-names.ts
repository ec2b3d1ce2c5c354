import { html, nothing, type TemplateResult } from 'lit';

/** The name kept for this shift, or all names to choose from, each as large as a finger in a glove. */
export function actingNames(
  names: readonly string[] | null,
  kept: string | null,
  problem: string,
  onAnother: () => void,
): TemplateResult {
  return html`<fieldset class="acting-names" aria-describedby="acting-name-problem">
    <legend>Name</legend>
    ${
      kept === null
        ? html`<div class="name-list">${(names ?? []).map(choice)}</div>`
        : html`<p class="kept"><b>${kept}</b></p>
            <button type="button" @click=${onAnother}>somebody else</button>`
    }
    ${names === null && kept === null ? html`<p class="quiet">asking the service for the names</p>` : nothing}
    <p id="acting-name-problem" class="problem" role="status">${problem}</p>
  </fieldset>`;
}

function choice(name: string): TemplateResult {
  return html`<label class="person-choice"
    ><input type="radio" name="acting-name" value=${name} /><span>${name}</span></label
  >`;
}
