import { isPlainText } from './plain-text.js';

export const nameMaxCharacters = 80;

/** What a name or label must be, in words; null where it is one. */
export function nameProblem(name: string): string | null {
  if (name.trim() === '' || name.trim() !== name)
    return `1 to ${nameMaxCharacters} characters without spaces around them`;
  if (Array.from(name).length > nameMaxCharacters) return `at most ${nameMaxCharacters} characters`;
  if (!isPlainText(name)) return 'characters that show: no control, direction or zero-width characters';
  return null;
}

/**
 * Two names with the same key are the same name: compatibility forms, case and runs of spaces do not tell people apart.
 * Source: Unicode Standard Annex 15 (form NFKC); lower case of upper case of lower case in place of full case folding.
 */
export function nameKey(name: string): string {
  return name
    .normalize('NFKC')
    .toLowerCase()
    .toUpperCase()
    .toLowerCase()
    .normalize('NFKC')
    .replaceAll(/\s+/g, ' ')
    .trim();
}
