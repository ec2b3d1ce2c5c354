import type { SeriesSample } from '@edge-margin/series';
import type { Reading } from '@edge-margin/telemetry';
import { reason } from '@edge-margin/units';
import { signalKey, withReading } from './cell.js';
import { closeCell } from './close-cell.js';
import type { Effect } from './effect.js';
import { cellIndex, dueCells } from './grid.js';
import type { Latest } from './inputs.js';
import type { StationModel } from './model.js';
import type { StationState } from './station-state.js';

export interface StationStep {
  readonly state: StationState;
  readonly effects: readonly Effect[];
}

/** Without readings the station's time follows the clock this far behind, beyond the lag that its readings have shown, ms. */
const tickAllowanceMs = 3000;
/** A lag beyond this is a backlog, not the way of a reading, ms. */
const greatestLagMs = 60_000;

/** Applies the readings of one message that concern this station, together, before anything is evaluated. */
export function applyReadings(
  model: StationModel,
  state: StationState,
  readings: readonly Reading[],
  linkDownSinceMs: number | null,
): StationStep {
  const effects: Effect[] = [
    { kind: 'samples', samples: readings.map((reading) => sampleOf(model, reading)) },
  ];
  let next = state;
  for (const reading of readings) {
    const index = cellIndex(reading.atMs);
    if (state.closedCell !== null && index <= state.closedCell) {
      effects.push(tooLate(reading));
      next = withLateReading(next, reading);
    } else {
      next = { ...next, cells: { ...next.cells, [index]: withReading(next.cells[index] ?? {}, reading) } };
    }
    next = {
      ...next,
      watermarkMs: Math.max(next.watermarkMs ?? reading.atMs, reading.atMs),
      lagMs: lagAfter(next.lagMs, reading),
    };
  }
  const closed = closeDueCells(model, next, linkDownSinceMs);
  return { state: closed.state, effects: [...effects, ...closed.effects] };
}

/** Lets the station's time pass with the clock: without readings, this is what makes delays, staleness and silences count. */
export function applyTick(
  model: StationModel,
  state: StationState,
  clockMs: number,
  linkDownSinceMs: number | null,
): StationStep {
  const byClock = clockMs - state.lagMs - tickAllowanceMs;
  if (state.watermarkMs !== null && byClock <= state.watermarkMs) return { state, effects: [] };
  return closeDueCells(model, { ...state, watermarkMs: byClock }, linkDownSinceMs);
}

function closeDueCells(
  model: StationModel,
  state: StationState,
  linkDownSinceMs: number | null,
): StationStep {
  if (state.watermarkMs === null) return { state, effects: [] };
  const due = dueCells({
    closed: state.closedCell,
    open: Object.keys(state.cells).map(Number),
    watermarkMs: state.watermarkMs,
    latenessMs: model.context.limits.latenessAllowedS * 1000,
  });
  let next = state;
  const effects: Effect[] = [];
  for (const index of due) {
    const step = closeCell(model, next, index, linkDownSinceMs);
    next = step.state;
    effects.push(...step.effects);
  }
  return { state: next, effects };
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
