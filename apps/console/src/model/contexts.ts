import { type ConsoleState, serviceNow } from '../store/console-state.js';
import { dayHourMinute, hourMinute } from './clock-words.js';
import { livenessOf } from './liveness.js';
import { marksOf } from './marks.js';
import type { StationContext } from './station-context.js';

/** Every station in floor order, as the plant file lists them: places never move. */
export function stationContexts(state: ConsoleState, steadyMs: number): readonly StationContext[] {
  const winders = state.winders ?? [];
  const marks = marksOf(winders);
  const serviceNowMs = serviceNow(state, steadyMs);
  const nowMs = serviceNowMs ?? 0;
  const shared = {
    system: state.service?.display ?? 'metric',
    nowMs,
    time: hourMinute(),
    since: dayHourMinute(nowMs),
  } as const;
  return winders.flatMap((winder) =>
    winder.stations.map((station) => {
      const key = `${winder.id}/${station.id}`;
      const receivedAtMs = state.receivedAtMs.get(key) ?? null;
      const liveness = livenessOf({
        connection: state.connection,
        assessment: station.assessment,
        receivedAtMs,
        serviceNowMs,
      });
      return { ...shared, winder, station, liveness, mark: marks.get(key) ?? winder.name };
    }),
  );
}
