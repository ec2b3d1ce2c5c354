import { type Role, roles } from '@edge-margin/access';
import type { PersonChangeRequest, PersonView } from '@edge-margin/monitoring';
import { html, nothing, type TemplateResult } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import { dayHourMinute } from '../model/clock-words.js';
import { addPerson, changePerson, fetchPeople } from '../store/door-client.js';
import type { FormField } from '../templates/form-field.js';
import { typed } from './form.js';
import { LightElement } from './light-element.js';

const newPersonFields: readonly FormField[] = [
  { name: 'name', label: 'Name, as journal and audit shall show it', kind: 'text' },
  {
    name: 'role',
    label: 'Role',
    kind: 'choice',
    value: 'operator',
    options: roles.map((role) => ({ value: role, words: role })),
  },
  {
    name: 'password',
    label: 'First password',
    kind: 'password',
    autocomplete: 'new-password',
    hint: 'The person changes it after the first sign-in and sets a PIN for the shared screens.',
  },
];
const resetFields: readonly FormField[] = [
  {
    name: 'password',
    label: 'New password',
    kind: 'password',
    autocomplete: 'new-password',
    hint: 'Ends every session of this person.',
  },
];

/** Who may come in, and as what. */
export class People extends LightElement {
  static override properties = {
    myId: { attribute: false },
    people: { state: true },
    problem: { state: true },
    done: { state: true },
    resetting: { state: true },
  };
  /** The person who is looking: who takes the own right away could not give it back. */
  declare myId: string;
  declare people: readonly PersonView[] | null;
  declare problem: string;
  declare done: string;
  /** Whose password is about to be set anew. */
  declare resetting: string | null;

  constructor() {
    super();
    this.myId = '';
    this.people = null;
    this.problem = '';
    this.done = '';
    this.resetting = null;
  }

  override connectedCallback(): void {
    super.connectedCallback();
    void this.#load();
  }

  async #load(): Promise<void> {
    const answer = await fetchPeople();
    this.problem = answer.ok ? '' : `The list cannot be shown: ${answer.words}`;
    if (answer.ok) this.people = answer.body.people;
  }

  async #change(person: PersonView, change: PersonChangeRequest, done: string): Promise<void> {
    const answer = await changePerson(person.id, change);
    this.problem = answer.ok ? '' : `${person.name} is not changed: ${answer.words}`;
    this.done = answer.ok ? done : '';
    await this.#reload(answer.ok ? '' : this.problem);
  }

  /** What could not be done is still said after the list has come anew. */
  async #reload(problem: string): Promise<void> {
    await this.#load();
    if (problem !== '') this.problem = problem;
  }

  protected override render(): TemplateResult {
    return html`<h1 tabindex="-1">People</h1>
      <p role="status" class=${this.problem === '' ? '' : 'problem'}>${this.problem}${this.done}</p>
      ${this.people === null ? nothing : this.#table(this.people)}
      <section class="panel" aria-labelledby="new-person">
        <h2 id="new-person">New person</h2>
        <em-form
          .name=${'new-person'}
          .fields=${newPersonFields}
          .words=${'add this person'}
          .blame=${'name'}
          .doneWords=${'Added.'}
          .send=${async (values: FormData) => {
            const answer = await addPerson({
              name: typed(values, 'name').trim(),
              role: typed(values, 'role') as Role,
              password: typed(values, 'password'),
            });
            if (answer.ok) void this.#load();
            return answer;
          }}
        ></em-form>
      </section>`;
  }

  #table(people: readonly PersonView[]): TemplateResult {
    return html`<div class="frame" role="region" aria-label="People" tabindex="0">
      <table class="office">
        <thead>
          <tr>
            <th scope="col">name</th>
            <th scope="col">role</th>
            <th scope="col">PIN</th>
            <th scope="col">may come in</th>
            <th scope="col">since</th>
            <th scope="col">password</th>
          </tr>
        </thead>
        <tbody>
          ${repeat(
            people,
            ({ id }) => id,
            (person) => this.#row(person),
          )}
        </tbody>
      </table>
    </div>`;
  }

  #row(person: PersonView): TemplateResult {
    const { active, createdAtMs, hasPin, id, name, role } = person;
    const me = id === this.myId;
    return html`<tr data-active=${active}>
        <th scope="row">${name}${me ? html` <span class="quiet">(you)</span>` : nothing}</th>
        <td>${me ? role : this.#roleChoice(person)}</td>
        <td>${hasPin ? 'set' : 'none'}</td>
        <td>
          ${
            me
              ? 'yes'
              : html`<label class="choice"
                  ><input
                    type="checkbox"
                    aria-label="${name} may come in"
                    .checked=${active}
                    @change=${() => void this.#change(person, { active: !active }, active ? `${name} may no longer come in. ` : `${name} may come in again. `)}
                  />${active ? 'yes' : 'no'}</label
                >`
          }
        </td>
        <td>${dayHourMinute(Date.now())(createdAtMs)}</td>
        <td>
          ${me ? html`<a href="/account">own password</a>` : html`<button type="button" aria-label="new password for ${name}" aria-expanded=${this.resetting === id} @click=${() => (this.resetting = this.resetting === id ? null : id)}>new password</button>`}
        </td>
      </tr>
      ${this.resetting === id ? this.#resetRow(person) : nothing}`;
  }

  #roleChoice(person: PersonView): TemplateResult {
    const change = (event: Event): void => {
      const role = (event.target as HTMLSelectElement).value as Role;
      void this.#change(person, { role }, `${person.name} is now ${role}. `);
    };
    return html`<select aria-label="role of ${person.name}" @change=${change}>
      ${roles.map((role) => html`<option value=${role} .selected=${role === person.role}>${role}</option>`)}
    </select>`;
  }

  #resetRow(person: PersonView): TemplateResult {
    return html`<tr>
      <td colspan="6">
        <em-form
          .name=${`reset-${person.id}`}
          .fields=${resetFields}
          .words=${`set a new password for ${person.name}`}
          .blame=${'password'}
          .send=${async (values: FormData) => {
            const answer = await changePerson(person.id, { password: typed(values, 'password') });
            if (!answer.ok) return answer;
            this.resetting = null;
            this.problem = '';
            this.done = `${person.name} has a new password. `;
            return answer;
          }}
        ></em-form>
      </td>
    </tr>`;
  }
}
