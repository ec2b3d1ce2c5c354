import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { leaveBroker, type Leaving } from './leave-broker.js';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

const lastWord = { topic: 'site/status', payload: 'offline', retain: true, qos: 1 } as const;

/** Leaving a broker of which the test says what it answers. */
function leaving(
  more: { connected?: boolean; outgoing?: Leaving['client']['outgoing']; ends?: boolean } = {},
) {
  const steps: string[] = [];
  const { connected = true, outgoing = {}, ends = true } = more;
  const left = leaveBroker({
    client: {
      connected,
      outgoing,
      endAsync: (force) => {
        steps.push(`end${force ? ' by force' : ''}`);
        return ends ? Promise.resolve() : new Promise(() => undefined);
      },
    },
    connections: { stopReading: () => steps.push('stop reading'), cut: () => steps.push('cut') },
    lastWord,
    publish: ({ payload }) => {
      steps.push(`say ${String(payload)}`);
      return Promise.resolve();
    },
  });
  return { steps, left };
}

describe('leaving a broker', () => {
  it('says the last word, reads nothing more, and ends in good order', async () => {
    const { steps, left } = leaving();
    await vi.advanceTimersByTimeAsync(100);
    await left;
    expect(steps).toEqual(['say offline', 'stop reading', 'end']);
  });

  it('says nothing where there is no connection', async () => {
    const { steps, left } = leaving({ connected: false });
    await vi.advanceTimersByTimeAsync(100);
    await left;
    expect(steps).toEqual(['stop reading', 'end by force']);
  });

  it('waits for answers to what was sent', async () => {
    const outgoing: Record<number, object> = { 7: {} };
    const { steps, left } = leaving({ outgoing });
    await vi.advanceTimersByTimeAsync(1000);
    expect(steps).toEqual(['say offline']);
    delete outgoing[7];
    await vi.advanceTimersByTimeAsync(100);
    await left;
    expect(steps.at(-1)).toBe('end');
  });

  it('cuts the connection after five seconds where the end does not come', async () => {
    const { steps, left } = leaving({ ends: false });
    await vi.advanceTimersByTimeAsync(4900);
    expect(steps).not.toContain('cut');
    await vi.advanceTimersByTimeAsync(200);
    await left;
    expect(steps.at(-1)).toBe('cut');
  });
});
