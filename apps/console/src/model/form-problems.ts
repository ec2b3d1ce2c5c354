import { type Refusal, refusalWords } from './refusal.js';

/** What is wrong with a form: beside its fields, and what belongs to none of them. */
export interface FormProblems {
  readonly fields: ReadonlyMap<string, string>;
  readonly general: string;
}

export const noProblems: FormProblems = { fields: new Map(), general: '' };

/** What must be given and is not, by name. */
export function missingProblems(names: readonly string[]): FormProblems {
  return { fields: new Map(names.map((name) => [name, 'This is needed'])), general: '' };
}

/**
 * A refusal laid beside the fields it speaks of. One that names no field of this form stands beside `blame` where it is about what was asked
 * (400 to 499), else, or where the form has no such field, below it.
 */
export function refusedProblems(
  refusal: Refusal,
  names: readonly string[],
  blame: string,
  clock: { readonly nowMs: number; readonly time: (atMs: number) => string },
): FormProblems {
  const known = [...refusal.fields].filter(([name]) => names.includes(name));
  if (known.length > 0)
    return { fields: new Map(known.map(([name, words]) => [name, capital(words)])), general: '' };
  const [elsewhere] = refusal.fields.values();
  const words = capital(elsewhere ?? refusalWords(refusal, clock.nowMs, clock.time));
  const { status } = refusal;
  const aboutInput = status !== null && status >= 400 && status < 500 && names.includes(blame);
  return aboutInput
    ? { fields: new Map([[blame, words]]), general: '' }
    : { fields: new Map(), general: words };
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
