import {
  actions,
  isPlainText,
  keyActions,
  nameProblem,
  passwordMaxCharacters,
  passwordProblem,
  pinProblem,
  roles,
} from '@edge-margin/access';
import { z } from 'zod';

/** What was given, short enough for a message and with everything that does not show written out. */
export function shown(value: unknown): string {
  const text = JSON.stringify(value) as string | undefined;
  return (text === undefined ? 'nothing' : text.length > 60 ? `${text.slice(0, 57)}...` : text).replaceAll(
    /[^\x20-\x7e\u00a1-\u024f\u0370-\u1fff\u2c00-\ud7ff\uf900-\ufefe]/g,
    (unseen) => `\\u${unseen.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}

const wrong = (right: string) => ({
  error: ({ input }: { readonly input?: unknown }) => `${shown(input)} was given; ${right} is right`,
});

/** Text that is checked by a rule in words; the rule says what would be right. */
const ruled = (what: string, rule: (text: string) => string | null, isSecret = false) =>
  z.string(isSecret ? { error: `${what} is right` } : wrong(what)).superRefine((text, context) => {
    const right = rule(text);
    if (right === null) return;
    context.addIssue({
      code: 'custom',
      message: isSecret ? `${right} is right` : `${shown(text)} was given; ${right} is right`,
    });
  });

/** A name or label that is kept. Markup is text like any other; what does not show is refused. */
export const newName = ruled('text', nameProblem);

/** A name that shall be found: whatever was typed, but bounded. */
export const givenName = z
  .string(wrong('a name'))
  .min(1, wrong('a name'))
  .max(200, 'at most 200 characters are right');

/** A password or PIN that shall be compared. Never shown. */
export const givenSecret = z
  .string('text is right')
  .min(1, 'nothing was given; the password is right')
  .max(passwordMaxCharacters * 4, 'a shorter one is right');

export const newPin = ruled('four to eight digits', pinProblem, true);
export const role = z.enum(roles, wrong(`one of ${roles.join(', ')}`));
export const keyScope = z
  .array(z.enum(keyActions, wrong(`one of ${keyActions.join(', ')}`)), wrong('a list of actions'))
  .min(1, wrong('at least one action'))
  .max(actions.length, 'each action once is right')
  .refine((given) => new Set(given).size === given.length, 'each action once is right');

/** A text of several lines that is kept. */
export const comment = z
  .string(wrong('text'))
  .max(500, 'at most 500 characters are right')
  .refine((text) => isPlainText(text, 'lines'), wrong('text without control characters'));

/** What a new password must be for this person; undefined where it will do. */
export function newPasswordError(password: string, name: string, pointer: string) {
  const right = passwordProblem(password, name);
  return right === null ? undefined : { pointer, detail: `${right} is right` };
}
