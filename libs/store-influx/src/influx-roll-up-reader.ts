import {
  type RolledResolution,
  rolledResolutions,
  type SeriesId,
  type SeriesPoint,
  windowStartMs,
  type WindowSummary,
  windowWidthMs,
} from '@edge-margin/series';
import { createInfluxRows, quoted } from './influx-query.js';
import type { InfluxServer } from './influx-server.js';
import { type RollUpField, rollUpField, rollUpMeasurement, rollUpPolicies } from './roll-up-layout.js';

/** Reads the roll-ups that a replica has written. */
export type InfluxRollUpReader = (
  id: SeriesId,
  resolution: RolledResolution,
  range: { readonly fromMs: number; readonly toMs: number },
) => Promise<readonly WindowSummary[]>;

/** More windows than any trend asks for: a bound for the answer. */
const mostWindows = 50_000;
const told = [
  'count',
  'last',
  'last_at',
  'min',
  'min_at',
  'max',
  'max_at',
  'mean',
] as const satisfies readonly RollUpField[];

/** The windows that reach into the range, in order. The function rejects with an InfluxError. */
export function createInfluxRollUpReader(server: InfluxServer): InfluxRollUpReader {
  const readers = new Map(
    rolledResolutions.map((resolution) => [
      resolution,
      createInfluxRows({ ...server, retentionPolicy: rollUpPolicies[resolution] }),
    ]),
  );
  return async (id, resolution, { fromMs, toMs }) => {
    const rows = await readers.get(resolution)?.(id, {
      measurement: rollUpMeasurement(id.measurement, resolution),
      select: told.map((what) => quoted(rollUpField(id.field, what))).join(', '),
      fromMs: windowStartMs(fromMs, windowWidthMs(resolution)),
      toMs,
      limit: mostWindows,
    });
    return (rows ?? []).flatMap(summaryOf);
  };
}

/** Nothing for a row that is not one of ours. */
function summaryOf(row: readonly unknown[]): readonly WindowSummary[] {
  const [startMs, count, last, lastAt, low, lowAt, high, highAt, mean] = row;
  if (typeof startMs !== 'number' || typeof count !== 'number' || typeof lastAt !== 'number') return [];
  if (typeof last !== 'number' && typeof last !== 'string') return [];
  const point = (value: number, at: unknown): SeriesPoint => [startMs + Number(at ?? 0), value];
  const numbers =
    typeof low === 'number' && typeof high === 'number' && typeof mean === 'number'
      ? { low: point(low, lowAt), high: point(high, highAt), mean }
      : null;
  return [{ startMs, count, last: [startMs + lastAt, last], numbers }];
}
