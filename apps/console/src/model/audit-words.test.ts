import { describe, expect, it } from 'vitest';
import { auditWords, pageWords } from './audit-words.js';

const since = (atMs: number): string => `${atMs} min`;

describe('the audit in words', () => {
  it('says what happened without hyphens', () => {
    expect(auditWords('sign-in-refused')).toBe('sign in refused');
  });

  it('says which entries a page holds', () => {
    expect(pageWords([], 0, since)).toBe('No entries.');
    expect(pageWords([{ atMs: 9 }], 0, since)).toBe('1 entry, of 9 min.');
    expect(pageWords([{ atMs: 9 }, { atMs: 4 }], 1, since)).toBe(
      '2 entries, from 9 min back to 4 min; page 2.',
    );
  });
});
