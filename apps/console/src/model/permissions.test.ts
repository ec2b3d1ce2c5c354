import { actions, may, roles } from '@edge-margin/access';
import { describe, expect, it } from 'vitest';
import { sessionFixture } from '../fixtures/session-fixture.js';
import { actionFor, officeLinks } from './office-links.js';
import { acknowledgeWay, actionName, mayDo, mayLook } from './permissions.js';

describe('acknowledging', () => {
  it('asks who acts where nobody is signed in', () => {
    expect(acknowledgeWay(sessionFixture(null))).toEqual({ kind: 'ask-who' });
    expect(acknowledgeWay(null)).toEqual({ kind: 'ask-who' });
  });

  it.each(roles)('as %s follows the one table of roles and actions', (role) => {
    const way = acknowledgeWay(sessionFixture(role));
    expect(way.kind).toBe(may(role, 'acknowledge-alarm') ? 'at-once' : 'not-allowed');
  });

  it('says whose it is where it is not allowed', () => {
    expect(acknowledgeWay(sessionFixture('administrator'))).toEqual({
      kind: 'not-allowed',
      short: 'not as administrator',
      words: 'Operator, maintenance and engineer acknowledge alarms; an administrator does not',
    });
  });
});

describe('what may be opened', () => {
  it('is nothing before the service has answered, and nothing behind a closed door', () => {
    expect(mayLook(null)).toBe(false);
    expect(mayLook(sessionFixture(null, { openViewing: false }))).toBe(false);
    expect(mayLook(sessionFixture(null))).toBe(true);
    expect(mayLook(sessionFixture('viewer', { openViewing: false }))).toBe(true);
    expect(mayDo(null, 'view')).toBe(false);
  });

  it('has a link exactly where its page opens, for every role', () => {
    for (const role of roles)
      for (const { page } of officeLinks(sessionFixture('administrator'))) {
        const action = actionFor(page);
        const linked = officeLinks(sessionFixture(role)).some((office) => office.page === page);
        expect(linked, `${role} ${page}`).toBe(action !== null && may(role, action));
      }
    expect(actionFor('alarms')).toBeNull();
  });

  it('has words for every action', () => {
    expect(new Set(actions.map(actionName)).size).toBe(actions.length);
  });
});
