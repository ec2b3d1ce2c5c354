import type { SeriesSample } from '@edge-margin/series';
import type { Reading } from '@edge-margin/telemetry';
import { reason } from '@edge-margin/units';
import { signalKey } from './cell.js';
import { followClockBack } from './clock-set-back.js';
import { closeCell } from './close-cell.js';
import type { Effect } from './effect.js';
import { cellIndex, dueCells, lastDueCell } from './grid.js';
import type { Latest } from './inputs.js';
import type { StationModel } from './model.js';
import { type OpenStation, putIntoCell } from './open-station.js';
import type { StationState } from './station-state.js';

/** Without readings the station's time follows the clock this far behind, beyond the lag that its readings have shown, ms. */
const tickAllowanceMs = 3000;
/** A lag beyond this is a backlog, not the way of a reading, ms. */
const greatestLagMs = 60_000;

/** Applies the readings of one message that concern this station, together, before anything is evaluated; adds what they bring about to `effects`. */
export function applyReadings(
  model: StationModel,
  station: OpenStation,
  readings: readonly Reading[],
  linkDownSinceMs: number | null,
  effects: Effect[],
): void {
  effects.push({ kind: 'samples', samples: readings.map((reading) => sampleOf(model, reading)) });
  const arrivedAtMs = readings[0]?.arrivedAtMs;
  if (arrivedAtMs !== undefined) followClockBack(model.context.stationKey, station, arrivedAtMs, effects);
  const { closedCell } = station.settled;
  for (const reading of readings) {
    const { atMs } = reading;
    const index = cellIndex(atMs);
    if (closedCell === null || index > closedCell) putIntoCell(station, index, reading);
    else {
      effects.push(tooLate(reading));
      station.settled = withLateReading(station.settled, reading);
    }
    if (station.watermarkMs === null || atMs > station.watermarkMs) station.watermarkMs = atMs;
    station.lagMs = lagAfter(station.lagMs, reading);
  }
  closeDueCells(model, station, linkDownSinceMs, effects);
}

/**
 * Lets the station's time pass with the clock: without readings, this is what makes delays, staleness and silences count. False where it
 * has not moved.
 */
export function applyTick(
  model: StationModel,
  station: OpenStation,
  clockMs: number,
  linkDownSinceMs: number | null,
  effects: Effect[],
): boolean {
  const wentBack = followClockBack(model.context.stationKey, station, clockMs, effects);
  const byClock = clockMs - station.lagMs - tickAllowanceMs;
  if (station.watermarkMs !== null && byClock <= station.watermarkMs) return wentBack;
  station.watermarkMs = byClock;
  closeDueCells(model, station, linkDownSinceMs, effects);
  return true;
}

function closeDueCells(
  model: StationModel,
  station: OpenStation,
  linkDownSinceMs: number | null,
  effects: Effect[],
): void {
  const { cells, watermarkMs } = station;
  if (watermarkMs === null) return;
  const latenessMs = model.context.limits.latenessAllowedS * 1000;
  const closed = station.settled.closedCell;
  // Most readings close nothing.
  if (closed !== null && lastDueCell(watermarkMs, latenessMs) <= closed) return;
  for (const index of dueCells({ closed, open: [...cells.keys()], watermarkMs, latenessMs })) {
    const step = closeCell(model, station.settled, cells.get(index) ?? {}, index, linkDownSinceMs);
    station.settled = step.state;
    for (const open of cells.keys()) if (open <= index) cells.delete(open);
    effects.push(...step.effects);
  }
}

/** A reading whose cell is closed changes no assessment, but it may still be the newest of its signal (a set-up value sent long ago, say). */
function withLateReading(state: StationState, reading: Reading): StationState {
  const key = signalKey(reading.signal, reading.end);
  const latest = state.latest[key];
  if (latest !== undefined && latest.atMs > reading.atMs) return state;
  return { ...state, latest: { ...state.latest, [key]: latestOf(reading) } };
}

function latestOf({ atMs, value, uncertainty }: Reading): Latest {
  return { atMs, value, uncertainty };
}

function lagAfter(lagMs: number, reading: Reading): number {
  if (reading.retained) return lagMs;
  const lag = Math.min(Math.max(reading.arrivedAtMs - reading.atMs, 0), greatestLagMs);
  return lag >= lagMs ? lag : lagMs + (lag - lagMs) * 0.02;
}

function tooLate(reading: Reading): Effect {
  const behindS = (reading.arrivedAtMs - reading.atMs) / 1000;
  return {
    kind: 'not-used',
    notUsed: {
      because: reason(
        'too-late',
        `a reading came ${behindS.toFixed(1)} s after its time: kept in the series, too late for the assessment`,
        { behindS },
      ),
      topic: '',
      arrivedAtMs: reading.arrivedAtMs,
      atMs: reading.atMs,
      stationKey: reading.stationKey,
      signal: reading.signal,
      sample: String(reading.value).slice(0, 200),
    },
  };
}

function sampleOf(model: StationModel, reading: Reading): SeriesSample {
  const { context } = model;
  return {
    measurement: 'reading',
    winderId: context.winder.id,
    stationId: context.station.id,
    end: reading.end,
    field: reading.signal,
    atMs: reading.atMs,
    value: reading.value,
  };
}
