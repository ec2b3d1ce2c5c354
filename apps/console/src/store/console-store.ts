import type { AlarmView } from '@edge-margin/alarms';
import type { LiveEvent } from '@edge-margin/monitoring';
import { fetchAlarms, fetchWinders } from './api-client.js';
import {
  type ConsoleState,
  emptyState,
  isUnknown,
  serviceNow,
  withAlarm,
  withConnection,
  withEvent,
  withServiceAlarms,
  withWinders,
} from './console-state.js';
import { type WatchedStream, watchStream } from './watch-stream.js';

type Listener = () => void;

/** The one place from which every page reads; it keeps itself up to date and notices when it cannot. */
export interface ConsoleStore {
  readonly state: () => ConsoleState;
  readonly nowMs: () => number | null;
  /** Called soon after every change and once a second; returns the way to stop. */
  readonly subscribe: (listener: Listener) => () => void;
  /** Called with each assessment as it comes in. */
  readonly onEvent: (listener: (event: LiveEvent) => void) => () => void;
  readonly putAlarm: (alarm: AlarmView) => void;
  readonly start: () => void;
  /** Somebody else is signed in: asks for everything anew, the live stream too; where nobody may look, forgets everything. */
  readonly renew: () => void;
}

const retryMs = 3_000;
/** Changes that come together are drawn together: a floor of stations is assessed within the same instant. */
const gatherMs = 50;
const steadyMs = (): number => performance.now();

/**
 * @param mayAsk whether the service would answer now; where nobody may look it is not asked.
 * @param onBroken called where the live stream breaks: the service ends it where a session ends.
 */
export function createConsoleStore(mayAsk: () => boolean, onBroken: () => void): ConsoleStore {
  let state = emptyState;
  let stream: WatchedStream | null = null;
  let loading = false;
  /** The whole picture has to be asked for again; asked until it comes. */
  let outdated = false;
  let firstAskedMs: number | null = null;
  let beganMs = -Infinity;
  const listeners = new Set<Listener>();
  const eventListeners = new Set<(event: LiveEvent) => void>();

  let told = true;
  const tell = (): void => {
    told = true;
    for (const listener of listeners) listener();
  };
  const change = (next: ConsoleState): void => {
    state = next;
    if (!told) return;
    told = false;
    setTimeout(tell, gatherMs);
  };
  const load = async (): Promise<boolean> => {
    loading = true;
    const [answer, alarms] = await Promise.all([fetchWinders(), fetchAlarms()]);
    loading = false;
    if (answer.ok) outdated = false;
    if (answer.ok) change(withWinders(state, answer.body, steadyMs()));
    if (alarms.ok) change(withServiceAlarms(state, alarms.body.alarms));
    return answer.ok;
  };
  const onEvent = (event: LiveEvent): void => {
    outdated ||= isUnknown(state, event);
    change(withEvent(state, event, steadyMs()));
    for (const listener of eventListeners) listener(event);
  };
  const onLive = (): void => {
    if (state.connection.kind === 'live') return;
    outdated ||= state.connection.kind === 'lost';
    change(withConnection(state, { kind: 'live' }));
  };
  const onLost = (lastHeardMs: number | null): void => {
    change(
      withConnection(state, {
        kind: 'lost',
        sinceMs: lastHeardMs === null ? null : serviceNow(state, lastHeardMs),
      }),
    );
  };
  const listen = (): void => {
    stream?.close();
    stream = watchStream({
      open: () => new EventSource('/api/live'),
      mayOpen: mayAsk,
      steadyMs,
      onEvent,
      onBroken,
      onLive,
      onLost,
    });
  };
  const begin = async (): Promise<void> => {
    if (stream !== null || loading || !mayAsk()) return;
    beganMs = steadyMs();
    firstAskedMs ??= beganMs;
    if (await load()) listen();
    else if (steadyMs() - firstAskedMs > retryMs)
      change(withConnection(state, { kind: 'lost', sinceMs: null }));
  };
  const tick = (): void => {
    stream?.tick();
    if (steadyMs() - beganMs > retryMs) void begin();
    if (outdated && !loading && state.connection.kind === 'live') void load();
    tell();
  };

  return {
    state: () => state,
    nowMs: () => serviceNow(state, steadyMs()),
    subscribe: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    onEvent: (listener) => {
      eventListeners.add(listener);
      return () => eventListeners.delete(listener);
    },
    putAlarm: (alarm) => change(withAlarm(state, alarm)),
    start: () => {
      setInterval(tick, 1_000);
      void begin();
    },
    renew: () => {
      stream?.close();
      stream = null;
      firstAskedMs = null;
      if (!mayAsk()) change(emptyState);
      void begin();
    },
  };
}
