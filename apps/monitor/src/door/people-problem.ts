import { ProblemException } from '../http/problem.js';
import type { PeopleRefusal } from './people.js';
import { shown } from './texts.js';

/** The answer where people cannot be changed so. */
export function peopleProblem(because: PeopleRefusal, given: string): ProblemException {
  if (because === 'unknown')
    return new ProblemException(404, `person: ${shown(given)} was given; there is no such person`);
  if (because === 'last-administrator')
    return new ProblemException(409, 'this is the last administrator; make another one first');
  const detail = `${shown(given)} was given; a name that nobody else and no key has is right`;
  return new ProblemException(409, `name: ${detail}`, [{ pointer: '/name', detail }]);
}
