import { describe, expect, it } from 'vitest';
import { refusalOf, refusalWords, unreachable } from './refusal.js';

const time = () => '14:33';

describe('a refusal', () => {
  it('is told in its own words (RFC 9457), else by its status', () => {
    expect(refusalOf(409, '{"title":"Conflict","detail":"the occurrence is over"}', null).words).toBe(
      'the occurrence is over',
    );
    expect(refusalOf(409, '{"title":"Conflict"}', null).words).toBe('Conflict');
    expect(refusalOf(502, '<html>', null).words).toBe('the service answered 502');
    expect(refusalOf(500, '[]', null).words).toBe('the service answered 500');
    expect(refusalOf(500, 'null', null).words).toBe('the service answered 500');
  });

  it('names the fields that it speaks of, the first of each', () => {
    const text = JSON.stringify({
      detail: 'two fields',
      errors: [
        { pointer: '/newPin', detail: '4 to 8 digits' },
        { pointer: '/newPin', detail: 'again' },
        { pointer: '/acting/secret', detail: 'is needed' },
        { pointer: 3, detail: 'no pointer' },
        null,
      ],
    });
    expect([...refusalOf(400, text, null).fields]).toEqual([
      ['newPin', '4 to 8 digits'],
      ['acting', 'is needed'],
    ]);
    expect(refusalOf(400, '{"errors":"none"}', null).fields.size).toBe(0);
  });

  it('says when to try again, in seconds at first and with the time of day later', () => {
    const after = (retryAfter: string | null) =>
      refusalWords(refusalOf(429, '{"detail":"too many attempts."}', retryAfter), 0, time);
    expect(after('30')).toBe('too many attempts. Try again in 30 s');
    expect(after('240')).toBe('too many attempts. Try again in 4 min, at 14:33');
    expect(after(null)).toBe('too many attempts.');
    expect(after('Wed, 21 Oct 2026 07:28:00 GMT')).toBe('too many attempts.');
    expect(after('-5')).toBe('too many attempts.');
  });

  it('is one too where nobody answers', () => {
    expect(refusalWords(unreachable, 0, time)).toBe('the service cannot be reached');
  });
});
