import { describe, expect, it } from 'vitest';
import { fixtureNowMs, serviceFixture, winderFixture } from '../fixtures/station-fixtures.js';
import { emptyState } from '../store/console-state.js';
import { hourMinute } from './clock-words.js';
import { isSimulated, pageNotices } from './page-notices.js';

const clock = hourMinute('UTC');
const live = { ...emptyState, connection: { kind: 'live' }, service: serviceFixture() } as const;

describe('the notices above a page', () => {
  it('are none while everything is heard', () => {
    expect(pageNotices(live, clock)).toEqual([]);
  });

  it('say since when the connection is lost, and that nothing is known after that', () => {
    expect(pageNotices({ ...live, connection: { kind: 'lost', sinceMs: fixtureNowMs } }, clock)).toEqual([
      'Connection to the service lost since 14:28: this page knows nothing after that',
    ]);
    expect(pageNotices({ ...emptyState, connection: { kind: 'lost', sinceMs: null } }, clock)).toEqual([
      'The service cannot be reached: this page knows nothing',
    ]);
  });

  it('say that the service has lost the broker, while the service is heard', () => {
    const down = {
      ...live,
      service: serviceFixture({ broker: { state: 'down', sinceMs: fixtureNowMs, detail: 'refused' } }),
    };
    expect(pageNotices(down, clock)).toEqual([
      'No readings: the service has lost the broker since 14:28: refused',
    ]);
    expect(pageNotices({ ...down, connection: { kind: 'lost', sinceMs: fixtureNowMs } }, clock)).toHaveLength(
      1,
    );
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
