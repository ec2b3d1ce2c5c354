import { nameKey } from './names.js';

export const passwordMinCharacters = 12;
export const passwordMaxCharacters = 200;

/**
 * What a new password must be, in words; null where it will do.
 *
 * Length counts and composition does not; what is first guessed is refused: the name, one thing repeated, a run of the keyboard or the
 * alphabet, the name of the service. Source: NIST SP 800-63B-4, 3.1.1.2 (minimum length, no composition rules, a list of what is
 * refused); 12 is common practice between its 8 (with a second factor) and 15 (without).
 */
export function passwordProblem(password: string, name: string): string | null {
  const characters = Array.from(normalPassword(password));
  if (characters.length < passwordMinCharacters) return `at least ${passwordMinCharacters} characters`;
  if (characters.length > passwordMaxCharacters) return `at most ${passwordMaxCharacters} characters`;
  const rest = withoutWords(nameKey(password), [
    nameKey(name),
    'edge-margin',
    'edgemargin',
    'password',
    'administrator',
  ]);
  if (new Set(rest).size < 5 || isRun(rest))
    return 'something that is not guessed first: not the name, the word password, one thing repeated, or a run of keys';
  return null;
}

/** The form in which a password is hashed and compared, so that keyboards that compose letters differently agree (NFKC). */
export function normalPassword(password: string): string {
  return password.normalize('NFKC');
}

function withoutWords(text: string, words: readonly string[]): string {
  return words.filter((word) => word.length > 2).reduce((left, word) => left.replaceAll(word, ''), text);
}

const runs = [
  '0123456789',
  'abcdefghijklmnopqrstuvwxyz',
  'qwertyuiop',
  'asdfghjkl',
  'zxcvbnm',
  'qwertzuiop',
  'azertyuiop',
];

/** Whether the text is, but for two characters, made of pieces of keyboard or alphabet runs of three or more. */
function isRun(text: string): boolean {
  const ways = runs.flatMap((run) => [
    run + run,
    Array.from(run + run)
      .reverse()
      .join(''),
  ]);
  let outside = 0;
  for (let at = 0; at < text.length;) {
    const length = runLengthAt(text, at, ways);
    if (length < 3) outside += 1;
    at += length < 3 ? 1 : length;
  }
  return outside <= 2;
}

function runLengthAt(text: string, at: number, ways: readonly string[]): number {
  let length = 1;
  while (at + length < text.length && ways.some((way) => way.includes(text.slice(at, at + length + 1))))
    length += 1;
  return length;
}
