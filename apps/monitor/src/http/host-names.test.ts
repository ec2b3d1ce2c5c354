import { describe, expect, it } from 'vitest';
import { hostNameOf, isAllowedHost } from './host-names.js';

describe('host names', () => {
  it.each([
    ['localhost:8080', 'localhost'],
    ['LOCALHOST', 'localhost'],
    ['winders.mill.example.', 'winders.mill.example'],
    ['10.1.2.3:443', '10.1.2.3'],
    ['[::1]:8080', '::1'],
    ['127.1', '127.0.0.1'],
  ])('%s is %s', (header, name) => expect(hostNameOf(header)).toBe(name));

  it.each([
    '',
    'a b',
    'user@localhost',
    'localhost/evil',
    'localhost#',
    'a?b',
    '[::1',
    'x'.repeat(400),
    'locälhost',
  ])('%j is none', (header) => expect(hostNameOf(header)).toBeUndefined());

  it('lets in loopback and what was allowed, and nothing that only looks so', () => {
    const allowed = ['winders.mill.example'];
    for (const name of ['localhost', '127.0.0.1', '::1', 'winders.mill.example'])
      expect(isAllowedHost(name, allowed), name).toBe(true);
    for (const name of ['localhost.evil.example', 'mill.example', 'x.winders.mill.example', undefined, ''])
      expect(isAllowedHost(name, allowed), name).toBe(false);
  });
});
