import type { SeriesId, SeriesPoint } from '@edge-margin/series';
import type { IQueryOptions } from 'influx';
import { InfluxError } from './influx-error.js';
import { clientOf, type InfluxServer, timeoutOf } from './influx-server.js';

/** What to choose of one series; instants in epoch ms. */
export interface Selection {
  /** The quoted field, or a function of it. */
  readonly select: string;
  readonly fromMs?: number;
  readonly toMs?: number;
  /** One answer per interval of this length, aligned to the epoch. */
  readonly everyMs?: number;
  readonly limit?: number;
}

/** Selects points of one series, in order of time. */
export type InfluxQuery = (
  id: SeriesId,
  selection: (quotedField: string) => Selection,
) => Promise<readonly SeriesPoint[]>;

/** InfluxDB keeps nanoseconds in 64 bits: instants beyond cannot be written in a query. */
const farthestMs = 9_223_372_036_854;

/** Selects rows of one series' measurement, each beginning with its time in ms, in order of time. */
export type InfluxRows = (
  id: SeriesId,
  selection: Selection & {
    /** That of the series where left out. */
    readonly measurement?: string;
  },
) => Promise<readonly (readonly unknown[])[]>;

/**
 * Queries by InfluxQL. Ids go in as bound parameters (the client's own escaping of texts is not safe); measurements and fields are
 * identifiers, which cannot be bound, and are quoted; instants are whole numbers. An answer must be complete within the server's time limit.
 */
export function createInfluxRows(server: InfluxServer): InfluxRows {
  const client = clientOf(server);
  const source = server.retentionPolicy === undefined ? '' : `${quoted(server.retentionPolicy)}.`;
  return async (id, selection) => {
    const text = queryText(`${source}${quoted(selection.measurement ?? id.measurement)}`, selection);
    const options: IQueryOptions = {
      precision: 'ms',
      method: 'POST',
      placeholders: { winder: id.winderId, station: id.stationId, end: id.end },
      signal: AbortSignal.timeout(timeoutOf(server)),
    };
    const answer: unknown = await client.queryRaw(text, options).catch((error: unknown) => {
      throw errorOf(error);
    });
    return rowsIn(answer);
  };
}

/** Selects points of one series. */
export function createInfluxQuery(server: InfluxServer): InfluxQuery {
  const rows = createInfluxRows(server);
  return async (id, selection) => (await rows(id, selection(quoted(id.field)))) as readonly SeriesPoint[];
}

function queryText(measurement: string, { select, fromMs, toMs, everyMs, limit }: Selection): string {
  const conditions = ['"winder" = $winder', '"station" = $station', '"end" = $end'];
  if (fromMs !== undefined) conditions.push(`time >= ${within(fromMs)}ms`);
  if (toMs !== undefined) conditions.push(`time < ${within(toMs)}ms`);
  const group = everyMs === undefined ? '' : ` GROUP BY time(${everyMs}ms)`;
  const most = limit === undefined ? '' : ` LIMIT ${limit}`;
  return `SELECT ${select} FROM ${measurement} WHERE ${conditions.join(' AND ')}${group}${most}`;
}

function within(atMs: number): number {
  return Math.max(-farthestMs, Math.min(farthestMs, atMs));
}

/** An identifier as InfluxQL takes it. */
export function quoted(identifier: string): string {
  return `"${identifier.replace(/["\\]/g, '\\$&').replace(/\n/g, '\\n')}"`;
}

/** The one statement's answer; errors while a query runs come with status 200. */
function rowsIn(answer: unknown): readonly (readonly unknown[])[] {
  const results =
    typeof answer === 'object' && answer !== null && 'results' in answer && Array.isArray(answer.results)
      ? (answer.results as readonly StatementAnswer[])
      : [];
  const result = results[0];
  if (result === undefined) throw new InfluxError('misconfigured', 'the answer is not that of an InfluxDB');
  if (result.error !== undefined) {
    const missing =
      result.error.includes('database not found') || result.error.includes('retention policy not found');
    throw new InfluxError(missing ? 'misconfigured' : 'refused', `InfluxDB: ${result.error}`);
  }
  return onePerInstant(result.series?.[0]?.values ?? []);
}

/** Two rows of one instant: the winder was moved to another area or line between two writes of the same sample. */
function onePerInstant(rows: readonly (readonly unknown[])[]): readonly (readonly unknown[])[] {
  return rows.filter(([atMs], index) => rows[index + 1]?.[0] !== atMs);
}

interface StatementAnswer {
  readonly error?: string;
  readonly series?: readonly { readonly values?: readonly (readonly unknown[])[] }[];
}

function errorOf(error: unknown): InfluxError {
  const status = statusOf(error);
  const message = error instanceof Error ? error.message : String(error);
  if (status === 401 || status === 403 || status === 404)
    return new InfluxError('misconfigured', `InfluxDB: ${message}`, error);
  if (status === 400) return new InfluxError('refused', `InfluxDB: ${message}`, error);
  return new InfluxError('unreachable', `InfluxDB: ${message}`, error);
}

function statusOf(error: unknown): number | undefined {
  const answered = typeof error === 'object' && error !== null && 'res' in error ? error.res : undefined;
  const status =
    typeof answered === 'object' && answered !== null && 'statusCode' in answered
      ? answered.statusCode
      : undefined;
  return typeof status === 'number' ? status : undefined;
}
