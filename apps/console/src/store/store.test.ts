import type { LiveEvent } from '@edge-margin/monitoring';
import { describe, expect, it } from 'vitest';
import {
  alarmFixture,
  clearAssessment,
  fixtureNowMs,
  serviceFixture,
  stationFixture,
  winderFixture,
} from '../fixtures/station-fixtures.js';
import {
  emptyState,
  isUnknown,
  serviceNow,
  withEvent,
  withServiceAlarms,
  withWinders,
} from './console-state.js';
import { type EventStream, watchStream } from './watch-stream.js';

const body = {
  winders: [winderFixture('w5', 'Winder 5', [stationFixture(clearAssessment())])],
  service: serviceFixture(),
};
const loaded = withWinders(emptyState, body, 1_000);
const stationOf = (state: typeof loaded) => state.winders?.[0]?.stations[0];

describe('what the pages know', () => {
  it('keeps the service’s time on a clock that never jumps', () => {
    expect(serviceNow(loaded, 6_000)).toBe(fixtureNowMs + 5_000);
    expect(serviceNow(emptyState, 6_000)).toBeNull();
  });

  it('takes a newer assessment and when it came', () => {
    const later = clearAssessment({ atMs: fixtureNowMs + 2_000 });
    const state = withEvent(loaded, { type: 'assessment', data: later }, 4_000);
    expect(stationOf(state)?.assessment).toBe(later);
    expect(state.receivedAtMs.get('w5/a')).toBe(fixtureNowMs + 3_000);
  });

  it('does not let a slow answer turn time back', () => {
    const later = clearAssessment({ atMs: fixtureNowMs + 2_000 });
    const state = withWinders(withEvent(loaded, { type: 'assessment', data: later }, 4_000), body, 5_000);
    expect(stationOf(state)?.assessment).toBe(later);
  });

  it('replaces an alarm in its place, appends a new one and takes out one that is over', () => {
    const put = (state: typeof loaded, alarm: ReturnType<typeof alarmFixture>) =>
      withEvent(state, { type: 'alarm', data: alarm }, 0);
    const two = put(put(loaded, alarmFixture({ alarmKey: 'a' })), alarmFixture({ alarmKey: 'b' }));
    const acked = put(two, alarmFixture({ alarmKey: 'a', state: 'ACKED' }));
    expect(stationOf(acked)?.alarms.map(({ alarmKey, state }) => `${alarmKey} ${state}`)).toEqual([
      'a ACKED',
      'b UNACK',
    ]);
    expect(
      stationOf(put(acked, alarmFixture({ alarmKey: 'a', state: 'NORM' })))?.alarms.map(
        ({ alarmKey }) => alarmKey,
      ),
    ).toEqual(['b']);
  });

  it('notices a station and a configuration that it does not know', () => {
    expect(isUnknown(loaded, { type: 'assessment', data: clearAssessment() })).toBe(false);
    expect(isUnknown(loaded, { type: 'assessment', data: clearAssessment({ stationId: 'z' }) })).toBe(true);
    expect(isUnknown(loaded, { type: 'service', data: serviceFixture({ configurationRevision: '2' }) })).toBe(
      true,
    );
  });
});

class FakeStream implements EventStream {
  readonly listeners = new Map<string, (event: { readonly data?: unknown }) => void>();
  readyState = 1;
  addEventListener(type: string, listener: (event: { readonly data?: unknown }) => void): void {
    this.listeners.set(type, listener);
  }
  close(): void {
    this.readyState = 2;
  }
  send(type: string, data?: unknown): void {
    this.listeners.get(type)?.({ data });
  }
}

function watched(mayOpen = true) {
  const streams: FakeStream[] = [];
  const log: string[] = [];
  const clock = { ms: 0 };
  const stream = watchStream({
    open: () => {
      const opened = new FakeStream();
      streams.push(opened);
      return opened;
    },
    steadyMs: () => clock.ms,
    mayOpen: () => mayOpen,
    onEvent: (event: LiveEvent) => log.push(event.type),
    onBroken: () => undefined,
    onLive: () => log.push('live'),
    onLost: (heardMs) => log.push(`lost ${heardMs}`),
  });
  const pass = (seconds: number): void => {
    for (let s = 0; s < seconds; s += 1) {
      clock.ms += 1_000;
      stream.tick();
    }
  };
  const beat = (): void => streams.at(-1)?.send('service', JSON.stringify(serviceFixture()));
  return { streams, log, pass, beat };
}

describe('an alarm of the service itself', () => {
  const own = alarmFixture({
    alarmKey: 'service.site.disk',
    winderId: '',
    stationId: '',
    mechanism: 'service',
  });

  it('belongs to no station, stands in a list of its own and leaves it when it is over', () => {
    const raised = withEvent(loaded, { type: 'alarm', data: own }, 0);
    expect(raised.serviceAlarms).toEqual([own]);
    expect(raised.winders).toEqual(loaded.winders);
    expect(withEvent(raised, { type: 'alarm', data: { ...own, state: 'NORM' } }, 0).serviceAlarms).toEqual(
      [],
    );
  });

  it('is not taken for one of a station that the pages do not know', () => {
    expect(isUnknown(loaded, { type: 'alarm', data: own })).toBe(false);
  });

  it('is found among all alarms', () => {
    expect(withServiceAlarms(loaded, [alarmFixture(), own]).serviceAlarms).toEqual([own]);
  });
});

describe('the watched stream', () => {
  it('is live as long as something comes every 5 s', () => {
    const { log, pass, beat } = watched();
    for (let at = 0; at < 5; at += 1) {
      beat();
      pass(5);
    }
    expect(log.filter((entry) => entry.startsWith('lost'))).toEqual([]);
  });

  it('is lost after 12 s of silence, told once, and opened anew', () => {
    const { log, pass, beat, streams } = watched();
    beat();
    pass(12);
    expect(log).not.toContain('lost 0');
    pass(1);
    expect(log.filter((entry) => entry === 'lost 0')).toHaveLength(1);
    pass(12);
    expect(log.filter((entry) => entry.startsWith('lost'))).toHaveLength(1);
    expect(streams.length).toBeGreaterThan(1);
    beat();
    expect(log.at(-2)).toBe('live');
  });

  it('is lost 3 s after it broke, unless it came back', () => {
    const broken = watched();
    broken.beat();
    broken.streams[0]?.send('error');
    broken.pass(4);
    expect(broken.log).toContain('lost 0');

    const healed = watched();
    healed.beat();
    healed.streams[0]?.send('error');
    healed.pass(2);
    healed.beat();
    healed.pass(4);
    expect(healed.log.filter((entry) => entry.startsWith('lost'))).toEqual([]);
  });

  it('opens a stream anew that the browser has given up', () => {
    const { streams, pass } = watched();
    streams[0]?.close();
    pass(4);
    expect(streams).toHaveLength(2);
  });

  it('is told lost but not opened anew where nobody may listen', () => {
    const { log, pass, streams } = watched(false);
    streams[0]?.close();
    pass(30);
    expect(log).toEqual(['lost null']);
    expect(streams).toHaveLength(1);
  });

  it('is lost where nothing was ever heard', () => {
    const { log, pass } = watched();
    pass(13);
    expect(log).toEqual(['lost null']);
  });

  it('does not take a broken line for a sign of life', () => {
    const { log, pass, streams } = watched();
    pass(10);
    streams[0]?.send('service', '{"nowMs":');
    pass(3);
    expect(log).toEqual(['lost null']);
  });
});
