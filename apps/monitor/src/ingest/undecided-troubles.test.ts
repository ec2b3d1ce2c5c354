import { describe, expect, it } from 'vitest';
import { linkAtStart, stepLink } from './link-state.js';
import { undecidedTroubles } from './undecided-troubles.js';

const atMs = 1_790_000_000_000;
const upFor = (ms: number) =>
  stepLink(linkAtStart(0), { kind: 'up', atMs: atMs - ms, sessionPresent: true }).link;
const answered = { granted: ['a/#'], refused: [] };
const nothing = { granted: [], refused: [] };

describe('what nobody can tell of the broker', () => {
  it('is nothing where a connection has lasted, is answered, and every source was heard or had its time', () => {
    const facts = { atMs, link: upFor(61_000), subscriptions: answered, isStillListening: false };
    expect(undecidedTroubles(facts)).toEqual([]);
  });

  it('is, at the start, everything but whether there is a connection and what was lost', () => {
    const facts = { atMs, link: linkAtStart(atMs), subscriptions: nothing, isStillListening: true };
    expect(undecidedTroubles(facts).toSorted()).toEqual([
      'certificate-expires',
      'link-flapping',
      'mute',
      'mute-source',
      'publish-refused',
      'publish-too-large',
      'subscribe-unanswered',
      'subscription-refused',
      'taken-over',
    ]);
  });

  it('is whether another client throws us out, until a connection has lasted for a minute', () => {
    const facts = { atMs, link: upFor(59_000), subscriptions: answered, isStillListening: false };
    expect(undecidedTroubles(facts)).toEqual(['taken-over', 'link-flapping']);
  });

  it('is whether sources are silent, while they have not had the time to be heard', () => {
    const facts = { atMs, link: upFor(61_000), subscriptions: answered, isStillListening: true };
    expect(undecidedTroubles(facts)).toEqual(['mute', 'mute-source']);
  });
});
