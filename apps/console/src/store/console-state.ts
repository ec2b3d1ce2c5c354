import type { AlarmView } from '@edge-margin/alarms';
import type {
  LiveEvent,
  ServiceView,
  StationAssessment,
  StationView,
  WinderView,
  WindersBody,
} from '@edge-margin/monitoring';
import type { Connection } from '../model/liveness.js';

/** All that the pages know. Every change makes a new value. */
export interface ConsoleState {
  /** Null until the first answer of the service. */
  readonly winders: readonly WinderView[] | null;
  readonly service: ServiceView | null;
  /** Service time less this screen's steady clock, ms. */
  readonly serviceAheadMs: number | null;
  readonly connection: Connection;
  /** Service time at which each station's latest assessment came in, by `winder/station`. */
  readonly receivedAtMs: ReadonlyMap<string, number>;
  /** Open alarms of no station: the service's own trouble. */
  readonly serviceAlarms: readonly AlarmView[];
}

export const emptyState: ConsoleState = {
  winders: null,
  service: null,
  serviceAheadMs: null,
  connection: { kind: 'connecting' },
  receivedAtMs: new Map(),
  serviceAlarms: [],
};

/** Service time now. `steadyMs` is a clock that never jumps. */
export function serviceNow(state: ConsoleState, steadyMs: number): number | null {
  return state.serviceAheadMs === null ? null : state.serviceAheadMs + steadyMs;
}

/** Takes in the whole picture; of each station the newer assessment stays, so that a slow answer never turns time back. */
export function withWinders(
  state: ConsoleState,
  { winders, service }: WindersBody,
  steadyMs: number,
): ConsoleState {
  const timed = withService(state, service, steadyMs);
  const known = stationsByKey(state.winders ?? []);
  const receivedAtMs = new Map<string, number>();
  const merged = winders.map((winder) => ({
    ...winder,
    stations: winder.stations.map((station) => {
      const key = `${winder.id}/${station.id}`;
      const before = known.get(key)?.assessment ?? null;
      const keeps = before !== null && before.atMs >= (station.assessment?.atMs ?? -Infinity);
      receivedAtMs.set(key, (keeps ? state.receivedAtMs.get(key) : undefined) ?? service.nowMs);
      return keeps ? { ...station, assessment: before } : station;
    }),
  }));
  return { ...timed, winders: merged, receivedAtMs };
}

export function withEvent(state: ConsoleState, event: LiveEvent, steadyMs: number): ConsoleState {
  switch (event.type) {
    case 'service':
      return withService(state, event.data, steadyMs);
    case 'assessment':
      return withAssessment(state, event.data, steadyMs);
    case 'alarm':
      return withAlarm(state, event.data);
  }
}

/** Whether an event speaks of a station that the pages do not know: the plant file has changed. */
export function isUnknown(state: ConsoleState, event: LiveEvent): boolean {
  if (event.type === 'service')
    return state.service !== null && event.data.configurationRevision !== state.service.configurationRevision;
  if (event.type === 'alarm' && isOfService(event.data)) return false;
  return !stationsByKey(state.winders ?? []).has(`${event.data.winderId}/${event.data.stationId}`);
}

/** Whether an alarm speaks of the service itself and not of a station. */
export function isOfService(alarm: AlarmView): boolean {
  return alarm.mechanism === 'service';
}

/** Takes in the open alarms as the service lists them: of those only its own are not told with a station. */
export function withServiceAlarms(state: ConsoleState, alarms: readonly AlarmView[]): ConsoleState {
  return { ...state, serviceAlarms: alarms.filter(isOfService) };
}

export function withConnection(state: ConsoleState, connection: Connection): ConsoleState {
  return { ...state, connection };
}

function withService(state: ConsoleState, service: ServiceView, steadyMs: number): ConsoleState {
  return { ...state, service, serviceAheadMs: service.nowMs - steadyMs };
}

function withAssessment(state: ConsoleState, assessment: StationAssessment, steadyMs: number): ConsoleState {
  const { winderId, stationId } = assessment;
  const receivedAtMs = new Map(state.receivedAtMs);
  receivedAtMs.set(`${winderId}/${stationId}`, serviceNow(state, steadyMs) ?? assessment.atMs);
  return {
    ...withStation(state, winderId, stationId, (station) => ({ ...station, assessment })),
    receivedAtMs,
  };
}

/** Replaces the alarm in its place, appends a new one, takes out one that is over. */
export function withAlarm(state: ConsoleState, alarm: AlarmView): ConsoleState {
  if (isOfService(alarm)) return { ...state, serviceAlarms: replaced(state.serviceAlarms, alarm) };
  return withStation(state, alarm.winderId, alarm.stationId, (station) => ({
    ...station,
    alarms: replaced(station.alarms, alarm),
  }));
}

function replaced(alarms: readonly AlarmView[], alarm: AlarmView): readonly AlarmView[] {
  if (alarm.state === 'NORM') return alarms.filter((other) => other.alarmKey !== alarm.alarmKey);
  const known = alarms.some((other) => other.alarmKey === alarm.alarmKey);
  return known
    ? alarms.map((other) => (other.alarmKey === alarm.alarmKey ? alarm : other))
    : [...alarms, alarm];
}

function withStation(
  state: ConsoleState,
  winderId: string,
  stationId: string,
  change: (station: StationView) => StationView,
): ConsoleState {
  if (state.winders === null) return state;
  const winders = state.winders.map((winder) =>
    winder.id === winderId
      ? {
          ...winder,
          stations: winder.stations.map((station) => (station.id === stationId ? change(station) : station)),
        }
      : winder,
  );
  return { ...state, winders };
}

function stationsByKey(winders: readonly WinderView[]): ReadonlyMap<string, StationView> {
  return new Map(
    winders.flatMap((winder) =>
      winder.stations.map((station) => [`${winder.id}/${station.id}`, station] as const),
    ),
  );
}
