import { describe, expect, it } from 'vitest';
import { isSessionLive, isUseWorthWriting, sessionEndsAtMs } from './session-life.js';

const rule = { idleMs: 1000, longestMs: 5000 };

describe('a session', () => {
  it('ends when it is idle for too long, and in any case in the end', () => {
    expect(sessionEndsAtMs({ createdAtMs: 0, lastUsedAtMs: 200 }, rule)).toBe(1200);
    expect(sessionEndsAtMs({ createdAtMs: 0, lastUsedAtMs: 4800 }, rule)).toBe(5000);
    expect(isSessionLive({ createdAtMs: 0, lastUsedAtMs: 200 }, rule, 1199)).toBe(true);
    expect(isSessionLive({ createdAtMs: 0, lastUsedAtMs: 200 }, rule, 1200)).toBe(false);
    expect(isSessionLive({ createdAtMs: 0, lastUsedAtMs: 4999 }, rule, 5000)).toBe(false);
  });

  it('goes on when the clock is set back a little, and is none when it comes from far ahead', () => {
    expect(isSessionLive({ createdAtMs: 3000, lastUsedAtMs: 3000 }, rule, 0)).toBe(true);
    expect(isSessionLive({ createdAtMs: 9000, lastUsedAtMs: 9000 }, rule, 0)).toBe(false);
  });

  it('has its last use written at most once a minute', () => {
    expect(isUseWorthWriting(null, 0)).toBe(true);
    expect(isUseWorthWriting(0, 59_999)).toBe(false);
    expect(isUseWorthWriting(0, 60_000)).toBe(true);
    expect(isUseWorthWriting(3_600_000, 0)).toBe(true);
  });
});
