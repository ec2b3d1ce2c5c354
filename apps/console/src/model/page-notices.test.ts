import { describe, expect, it } from 'vitest';
import { fixtureNowMs, serviceFixture, winderFixture } from '../fixtures/station-fixtures.js';
import { sessionFixture } from '../fixtures/session-fixture.js';
import { emptyState } from '../store/console-state.js';
import { hourMinute } from './clock-words.js';
import { isSimulated, pageNotices } from './page-notices.js';

const clock = hourMinute('UTC');
const nobody = sessionFixture(null);
const open = { session: nobody, ended: false, shown: nobody };
const live = { ...emptyState, connection: { kind: 'live' }, service: serviceFixture() } as const;

describe('the notices above a page', () => {
  it('are none while everything is heard', () => {
    expect(pageNotices(live, open, clock)).toEqual([]);
  });

  it('say since when the connection is lost, and that nothing is known after that', () => {
    expect(
      pageNotices({ ...live, connection: { kind: 'lost', sinceMs: fixtureNowMs } }, open, clock),
    ).toEqual(['Connection to the service lost since 14:28: this page knows nothing after that']);
    expect(pageNotices({ ...emptyState, connection: { kind: 'lost', sinceMs: null } }, open, clock)).toEqual([
      'The service cannot be reached: this page knows nothing',
    ]);
  });

  it('say that the service has lost the broker, while the service is heard', () => {
    const down = {
      ...live,
      service: serviceFixture({ broker: { state: 'down', sinceMs: fixtureNowMs, detail: 'refused' } }),
    };
    expect(pageNotices(down, open, clock)).toEqual([
      'No readings: the service has lost the broker since 14:28: refused',
    ]);
    const mute = serviceFixture({ broker: { state: 'up', sinceMs: fixtureNowMs, detail: 'nothing comes' } });
    expect(pageNotices({ ...live, service: mute }, open, clock)).toEqual([
      'The connection to the broker stands, but: nothing comes',
    ]);
    expect(
      pageNotices({ ...down, connection: { kind: 'lost', sinceMs: fixtureNowMs } }, open, clock),
    ).toHaveLength(1);
  });
});

describe('the door', () => {
  it('is spoken of where a session has ended by itself, and where nobody could be an administrator', () => {
    expect(pageNotices(live, { ...open, ended: true }, clock)).toEqual([
      'Your session has ended: sign in again',
    ]);
    const first = sessionFixture(null, { needsFirstAdministrator: true });
    expect(pageNotices(live, { ...open, session: first }, clock)).toEqual([
      'There is no administrator yet. The service’s log holds the address at which the first one is made',
    ]);
  });
});

describe('the simulation', () => {
  it('is named where the service or any winder is simulated', () => {
    const real = serviceFixture({ demo: false });
    expect(
      isSimulated({ ...live, service: real, winders: [winderFixture('a', 'A', [], { simulated: false })] }),
    ).toBe(false);
    expect(isSimulated({ ...live, service: real, winders: [winderFixture('a', 'A', [])] })).toBe(true);
    expect(isSimulated({ ...live, winders: [] })).toBe(true);
  });
});
