import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { nameKey, nameProblem } from './names.js';
import { passwordProblem } from './password-rule.js';
import { isPin, pinProblem } from './pin-rule.js';
import { isPlainText } from './plain-text.js';

describe('texts that people give', () => {
  it.each([
    'Rosa',
    'Nils (shift B)',
    '<b onclick=alert(1)>Rosa</b>',
    '李雷',
    "O'Neil; DROP TABLE person",
    '👷 Kim',
  ])('takes the name %s as it is', (name) => expect(nameProblem(name)).toBeNull());

  it.each([
    ['', '1 to 80'],
    ['  ', '1 to 80'],
    [' Rosa', 'spaces around'],
    ['a'.repeat(81), 'at most 80'],
    ['Rosa\n', 'spaces around'],
    ['Ro\u0000sa', 'characters that show'],
    ['Ro\u202esa', 'characters that show'],
    ['Ro\u200bsa', 'characters that show'],
    ['Ro\ud800sa', 'characters that show'],
  ])('refuses the name %j', (name, because) => expect(nameProblem(name)).toContain(because));

  it('takes line ends in a comment only', () => {
    expect(isPlainText('two\nlines')).toBe(false);
    expect(isPlainText('two\r\nlines\tof text', 'lines')).toBe(true);
    expect(isPlainText('bell \u0007', 'lines')).toBe(false);
  });

  it('does not tell people apart by case, width or spaces', () => {
    expect(nameKey('ROSA  Weber')).toBe(nameKey('Rosa Weber'));
    expect(nameKey('Ｒosa')).toBe(nameKey('rosa'));
    expect(nameKey('Straße')).toBe(nameKey('STRASSE'));
    expect(nameKey('Rosa')).not.toBe(nameKey('Rosi'));
  });

  it('has keys that are their own keys, whatever single character stands in the name', () => {
    const wrong: number[] = [];
    for (let code = 0; code < 0x3_0000; code += 1) {
      const key = nameKey(`a${String.fromCodePoint(code)}b`);
      if (nameKey(key) !== key) wrong.push(code);
    }
    expect(wrong).toEqual([]);
  });
});

describe('a new password', () => {
  it.each([
    'correct horse battery',
    'the winder hums at six',
    'x9!Kq2#vLm7p',
    'ünïcödé pässwörd',
    'twelve roots of unity',
  ])('may be %s', (password) => expect(passwordProblem(password, 'Rosa')).toBeNull());

  it.each([
    ['short', 'at least 12'],
    ['a'.repeat(201), 'at most 200'],
    ['aaaaaaaaaaaaaa', 'guessed first'],
    ['123456789012', 'guessed first'],
    ['abcdefghijklm', 'guessed first'],
    ['qwertyuiop12', 'guessed first'],
    ['987654321000', 'guessed first'],
    ['rosa weber 12', 'guessed first'],
    ['Rosa Weber!!', 'guessed first'],
    ['edge-margin1234', 'guessed first'],
    ['passwordpassword', 'guessed first'],
    ['administrator1', 'guessed first'],
  ])('may not be %s', (password, because) =>
    expect(passwordProblem(password, 'Rosa Weber')).toContain(because),
  );

  it('is counted in characters, not in units of its encoding', () => {
    expect(passwordProblem('👷🔧🏭📏🎯🧻', 'Rosa')).toContain('at least 12');
  });
});

describe('a PIN', () => {
  it.each(['4711', '90210', '27182818'])('may be %s', (pin) => expect(pinProblem(pin)).toBeNull());
  it.each(['123', '123456789', '12a4', '1234', '4321', '7890', '0000', '4747', '11111111', '１２３５'])(
    'may not be %s',
    (pin) => expect(pinProblem(pin)).not.toBeNull(),
  );

  it('never looks like a password', () => {
    fc.assert(
      fc.property(fc.string(), (secret) => {
        if (isPin(secret)) expect(passwordProblem(secret, 'Rosa')).not.toBeNull();
      }),
    );
  });
});
