import { describe, expect, it } from 'vitest';
import { type Attempt, attemptBook } from './attempt-book.js';

const attempt = (more: Partial<Attempt> = {}): Attempt => ({
  nameKey: 'rosa',
  address: '10.0.0.1',
  familiarity: 'unfamiliar',
  isKnownAddress: false,
  by: 'password',
  ...more,
});

describe('the book of attempts', () => {
  it('slows down one name at one address, and neither the name elsewhere nor the address with other names', () => {
    const book = attemptBook(() => 0);
    for (let tries = 0; tries < 3; tries += 1) {
      expect(book.admit(attempt()).kind).toBe('go');
      book.begin(attempt());
    }
    expect(book.admit(attempt())).toEqual({ kind: 'wait', waitMs: 1000 });
    expect(book.admit(attempt({ address: '10.0.0.2' })).kind).toBe('go');
    expect(book.admit(attempt({ nameKey: 'nils' })).kind).toBe('go');
  });

  it('counts attempts that are not decided yet, so that a hundred at once are no way around', () => {
    const book = attemptBook(() => 0);
    let admitted = 0;
    for (let tries = 0; tries < 100; tries += 1) {
      if (book.admit(attempt()).kind !== 'go') continue;
      admitted += 1;
      book.begin(attempt());
    }
    expect(admitted).toBe(3);
  });

  it('never lets what is tried elsewhere keep a person from acting where they are known', () => {
    let nowMs = 0;
    const book = attemptBook(() => nowMs);
    for (let tries = 0; tries < 10_000; tries += 1) {
      nowMs += 10;
      const elsewhere = attempt({
        address: `10.1.${tries % 250}.${tries % 199}`,
        by: tries % 2 === 0 ? 'pin' : 'password',
      });
      if (book.admit(elsewhere).kind === 'go') book.begin(elsewhere);
    }
    const atHome = attempt({ address: 'control room', familiarity: 'familiar' });
    expect(book.admit(atHome).kind).toBe('go');
    expect(book.admit({ ...atHome, by: 'pin' }).kind).toBe('go');
  });

  it('lets a known person mistype and go on after at most half a minute', () => {
    let nowMs = 0;
    const book = attemptBook(() => nowMs);
    const known = attempt({ familiarity: 'familiar' });
    for (let tries = 0; tries < 50; tries += 1) {
      const admission = book.admit(known);
      if (admission.kind === 'wait') {
        expect(admission.waitMs).toBeLessThanOrEqual(30_000);
        nowMs += admission.waitMs;
      }
      expect(book.admit(known).kind).toBe('go');
      book.begin(known);
    }
    nowMs += 30_000;
    book.succeed(known);
    expect(book.admit(known).kind).toBe('go');
  });

  it('shares a budget among everything unfamiliar: some at once, then three a second', () => {
    let nowMs = 0;
    const book = attemptBook(() => nowMs);
    let admitted = 0;
    for (let tries = 0; tries < 10_000; tries += 1) {
      nowMs += 1;
      const other = attempt({ nameKey: `name ${tries}`, address: `10.2.${tries % 250}.${tries % 251}` });
      if (book.admit(other).kind !== 'go') continue;
      book.begin(other);
      admitted += 1;
    }
    expect(admitted).toBeGreaterThan(20);
    expect(admitted).toBeLessThanOrEqual(20 + 30 + 1);
  });

  it('lets a whole shift sign in for the first time at one address, if they are right', () => {
    const book = attemptBook(() => 0);
    for (let person = 0; person < 60; person += 1) {
      const first = attempt({ nameKey: `person ${person}` });
      expect(book.admit(first).kind).toBe('go');
      book.begin(first);
      book.succeed(first);
    }
  });

  it('lets somebody act for the first time at a screen where others are known, whatever unknown addresses try', () => {
    const book = attemptBook(() => 0);
    for (let tries = 0; tries < 1000; tries += 1) {
      const elsewhere = attempt({ nameKey: `name ${tries}`, address: `10.3.${tries % 4}.${tries % 250}` });
      if (book.admit(elsewhere).kind === 'go') book.begin(elsewhere);
    }
    expect(book.admit(attempt({ address: 'new screen' })).kind).toBe('wait');
    expect(book.admit(attempt({ address: 'control room', isKnownAddress: true })).kind).toBe('go');
  });

  it('rests the PIN after ten wrong ones, until the password was right', () => {
    let nowMs = 0;
    const book = attemptBook(() => nowMs);
    const pin = attempt({ familiarity: 'familiar', by: 'pin' });
    for (let tries = 0; tries < 10; tries += 1) {
      nowMs += 60_000;
      expect(book.admit(pin).kind).toBe('go');
      book.begin(pin);
    }
    nowMs += 60_000;
    expect(book.admit(pin).kind).toBe('pin-rests');
    const password = { ...pin, by: 'password' } as const;
    expect(book.admit(password).kind).toBe('go');
    book.begin(password);
    book.succeed(password);
    expect(book.admit(pin).kind).toBe('go');
  });
});
