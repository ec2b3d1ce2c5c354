import { type Role, roles } from '@edge-margin/access';
import type { SessionBody } from '@edge-margin/monitoring';
import { randomInt } from 'node:crypto';
import type { People } from './people.js';

export type DemoPeople = NonNullable<SessionBody['demoPeople']>;

const letters = 'abcdefghjkmnpqrstuvwxyz23456789';

function demoPassword(): string {
  const group = (): string => Array.from({ length: 5 }, () => letters[randomInt(letters.length)]).join('');
  return `${group()}-${group()}-${group()}`;
}

/**
 * One person per role for the demonstration, with passwords that are new at every start and shown to everybody: public, but never the same,
 * so that none of them is known where somebody copies the demonstration's data.
 */
export async function makeDemoPeople(people: People): Promise<DemoPeople> {
  const made: { name: string; role: Role; password: string }[] = [];
  for (const role of roles) {
    const demo = { name: `Demo ${role}`, role, password: demoPassword() };
    const known = people.all().find(({ name }) => name === demo.name);
    if (known === undefined) await people.add(demo);
    else await people.change(known.id, { role, active: true, password: demo.password });
    made.push(demo);
  }
  return made;
}
