import { describe, expect, it } from 'vitest';
import { createBacklogEcho } from './backlog-echo.js';

function underTest(topic: string | undefined = 'site/echo') {
  let nowMs = 0;
  let words = 0;
  const sent: { topic: string; payload: string | Uint8Array }[] = [];
  const echo = createBacklogEcho({
    topic,
    publish: (publication) => sent.push(publication),
    newWord: () => `word-${(words += 1)}`,
    now: () => nowMs,
  });
  return {
    echo,
    sent: () => sent.map(({ payload }) => payload),
    /** A look each second, with messages coming all the time. */
    lookUntil: (s: number): void => {
      while (nowMs < s * 1000) {
        nowMs += 1000;
        echo.look({ atMs: nowMs, messages: nowMs, pending: false, connected: true });
      }
    },
    back: (word: string): boolean => echo.take({ topic: 'site/echo', payload: word }),
  };
}

describe('the echo behind the backlog', () => {
  it('ends the catching up when the word of this connection comes back, not an older one', () => {
    const { echo, back } = underTest();
    echo.linkUp(0, 0);
    echo.send();
    echo.linkDown();
    echo.linkUp(0, 0);
    echo.send();
    expect(back('word-1')).toBe(true);
    expect(echo.isCatchingUp()).toBe(true);
    expect(back('word-2')).toBe(true);
    expect(echo.isCatchingUp()).toBe(false);
  });

  it('is sent again every five seconds while it does not come, and no more once it has', () => {
    const { echo, sent, lookUntil, back } = underTest();
    echo.linkUp(0, 0);
    echo.send();
    lookUntil(11);
    expect(sent()).toEqual(['word-1', 'word-1', 'word-1']);
    back('word-1');
    lookUntil(30);
    expect(sent()).toHaveLength(3);
  });

  it('is no message of the plant, and the plant’s are none of its', () => {
    const { echo } = underTest();
    expect(echo.take({ topic: 'site/echo', payload: 'of somebody else' })).toBe(true);
    expect(echo.take({ topic: 'mill/w1/drive', payload: '1' })).toBe(false);
  });

  it('is not sent where there is no topic for it', () => {
    const sent: object[] = [];
    const echo = createBacklogEcho({
      topic: undefined,
      publish: (publication) => sent.push(publication),
      newWord: () => 'word',
      now: () => 0,
    });
    echo.linkUp(0, 0);
    echo.send();
    expect(sent).toEqual([]);
    expect(echo.take({ topic: 'mill/w1/drive', payload: '1' })).toBe(false);
  });
});
