import { describe, expect, it } from 'vitest';
import { missingProblems, refusedProblems } from './form-problems.js';
import { refusalOf, unreachable } from './refusal.js';

const clock = { nowMs: 0, time: () => '14:33' };
const errors = JSON.stringify({ detail: 'x', errors: [{ pointer: '/password', detail: 'at least 12' }] });

describe('what is wrong with a form', () => {
  it('stands beside the field that the service names', () => {
    const problems = refusedProblems(refusalOf(400, errors, null), ['name', 'password'], 'name', clock);
    expect([...problems.fields]).toEqual([['password', 'At least 12']]);
    expect(problems.general).toBe('');
  });

  it('stands beside the blamed field where the service names none of this form', () => {
    const problems = refusedProblems(refusalOf(400, errors, null), ['name'], 'name', clock);
    expect([...problems.fields]).toEqual([['name', 'At least 12']]);
    const gone = refusedProblems(
      refusalOf(409, '{"detail":"there is one already"}', null),
      ['name'],
      'name',
      clock,
    );
    expect([...gone.fields]).toEqual([['name', 'There is one already']]);
  });

  it('stands below the form where that has no field to blame', () => {
    const problems = refusedProblems(refusalOf(403, errors, null), ['name'], '', clock);
    expect(problems.general).toBe('At least 12');
    expect(problems.fields.size).toBe(0);
  });

  it('stands below the form where it is not about what was typed', () => {
    for (const refusal of [unreachable, refusalOf(500, '', null)]) {
      const problems = refusedProblems(refusal, ['name'], 'name', clock);
      expect(problems.fields.size).toBe(0);
      expect(problems.general).not.toBe('');
    }
  });

  it('is said of every field that was left empty', () => {
    expect([...missingProblems(['name', 'password']).fields.keys()]).toEqual(['name', 'password']);
  });
});
