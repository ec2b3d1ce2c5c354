import { reason } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import { linkAtStart, type LinkState, stepLink } from './link-state.js';
import { type LinkFacts, linkTroubles } from './link-troubles.js';

const day = 24 * 3_600_000;
const atMs = 100 * day;
const up: LinkState = stepLink(linkAtStart(0), { kind: 'up', atMs: atMs - day, sessionPresent: true }).link;
const well: LinkFacts = {
  atMs,
  clientId: 'edge-margin-north',
  link: up,
  subscriptions: { granted: ['a/#'], refused: [] },
  unansweredSinceMs: undefined,
  subscribedAtMs: atMs - day,
  silent: [],
  watched: 2,
  isStillListening: false,
  losses: [],
  publishFaults: [],
  certificates: [{ whose: 'broker', endsAtMs: atMs + 60 * day }],
};
const codes = (facts: Partial<LinkFacts>): string[] =>
  linkTroubles({ ...well, ...facts }).map(({ code }) => code);
const down = (detail: string, cause: string): LinkState =>
  stepLink(up, { kind: 'down', atMs: atMs - 1000, detail, cause }).link;
const silent = (filter: string, hasCome: boolean) => ({
  filter,
  periodS: 1,
  sinceMs: atMs - 30_000,
  hasCome,
});

describe('the troubles of the broker side', () => {
  it('are none where all is well, nor before the first attempt has failed, nor when we leave', () => {
    expect(codes({})).toEqual([]);
    expect(codes({ link: linkAtStart(atMs) })).toEqual([]);
    expect(codes({ link: down('stopped', 'stopped') })).toEqual([]);
  });

  it('tell why there is no connection, and since when', () => {
    expect(linkTroubles({ ...well, link: down('nothing listens there', 'ECONNREFUSED') })).toEqual([
      {
        code: 'link-down',
        sinceMs: atMs - 1000,
        text: 'nothing listens there',
        params: { cause: 'ECONNREFUSED' },
        blocks: true,
        loses: false,
      },
    ]);
  });

  it('tell of another client with our id until a connection has lasted for a minute', () => {
    const thrownOut = stepLink(up, {
      kind: 'down',
      atMs,
      detail: 'another client',
      cause: 'taken-over',
    }).link;
    const back = stepLink(thrownOut, { kind: 'up', atMs: atMs + 1000, sessionPresent: true }).link;
    expect(codes({ link: thrownOut })).toEqual(['link-down', 'taken-over']);
    expect(codes({ link: back, atMs: atMs + 30_000 })).toEqual(['taken-over']);
    expect(codes({ link: back, atMs: atMs + 62_000 })).toEqual([]);
  });

  it('tell which filters were refused and why', () => {
    const refused = [{ filter: 'b/#', reasonCode: 0x87 }];
    expect(linkTroubles({ ...well, subscriptions: { granted: [], refused } })[0]).toMatchObject({
      code: 'subscription-refused',
      blocks: true,
      text: expect.stringMatching(/^the broker refused b\/#: not authorised.*0x87/) as string,
    });
  });

  it('tell of a subscription that is not answered, not of one just sent', () => {
    expect(codes({ unansweredSinceMs: atMs - 1000 })).toEqual([]);
    expect(codes({ unansweredSinceMs: atMs - 6000 })).toEqual(['subscribe-unanswered']);
  });

  it('tell that nothing comes: of one source with a guess, of all of them in one sentence that keeps the service from being ready', () => {
    const one = linkTroubles({ ...well, silent: [silent('a/#', true)] });
    expect(one).toMatchObject([
      { code: 'mute-source', blocks: false, loses: true, params: { filter: 'a/#' } },
    ]);
    const all = linkTroubles({ ...well, silent: [silent('a/#', false), silent('b/#', false)] });
    expect(all).toMatchObject([{ code: 'mute', blocks: true, params: { sources: 2 } }]);
    expect(all[0]?.text).toContain('access list');
    expect(codes({ silent: [silent('a/#', false)], watched: 1 })).toEqual(['mute']);
  });

  it('put what keeps messages away before what has lost some, and that before the rest', () => {
    const because = reason('messages-lost', '3 messages never came');
    const fault = {
      code: 'publish-refused',
      topic: 't',
      sinceMs: 1,
      atMs,
      text: 't: not authorised',
    } as const;
    expect(
      codes({
        certificates: [{ whose: 'own', endsAtMs: atMs + 3 * day }],
        publishFaults: [fault],
        losses: [{ code: 'messages-lost', fromMs: 1, atMs, because, times: 2 }],
        subscriptions: { granted: [], refused: [{ filter: 'b/#', reasonCode: 0x87 }] },
      }),
    ).toEqual(['subscription-refused', 'messages-lost', 'publish-refused', 'certificate-expires']);
  });

  it('tell of a certificate two weeks before it ends, and of one that has ended under a standing connection', () => {
    const text = (endsAtMs: number): string =>
      linkTroubles({ ...well, certificates: [{ whose: 'broker', endsAtMs }] })[0]?.text ?? '';
    expect(text(atMs + 15 * day)).toBe('');
    expect(text(atMs + 13 * day)).toContain("the broker's certificate expires on 1970-04-24");
    expect(text(atMs - day)).toContain('expired on');
  });
});
