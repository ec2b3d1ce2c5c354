import type { Message } from '../instruments/message.js';
import type { StationModel } from '../winder/station-model.js';
import { ENDS } from '../winder/ends.js';

/** One column: which field of which message, and its heading with unit. */
interface Column {
  readonly topic: string;
  readonly field: string;
  readonly heading: string;
}

type Row = readonly (string | undefined)[];

/** Rows of a station that may still grow, by time stamp (epoch ms), oldest first. */
export type OpenRows = ReadonlyMap<number, Row>;

const DRIVE_FIELDS = [
  ['speed', 'speed (m/min)'],
  ['diameter', 'diameter (mm)'],
  ['tension', 'tension (N)'],
  ['turns', 'core turns'],
  ['winding', 'winding (1: yes)'],
  ['grade', 'grade'],
] as const;
const NIP_FIELDS = [
  ['load', 'nip load', 'kN/m'],
  ['peakAcceleration', 'nip peak acceleration', 'm/s2'],
  ['swing', 'nip load swing', '%'],
] as const;
const MOST_OPEN = 64; // stamps: messages of one moment come within a few periods, or as a burst with rows of their own

/** The columns of a station's table, after the time: what its drive and nip messages carry. Wave forms are left out. */
export function columnsOf({ station, topics }: StationModel): readonly Column[] {
  const drive = DRIVE_FIELDS.filter(([field]) => field !== 'turns' || 'turns' in station.instruments).map(
    ([field, heading]) => ({ topic: topics.drive, field, heading }),
  );
  if (station.nip === null) return drive;
  const nip = ENDS.flatMap((end) =>
    NIP_FIELDS.map(([field, name, unit]) => ({
      topic: topics.nip[end],
      field,
      heading: `${name} ${end} (${unit})`,
    })),
  );
  return [...drive, ...nip];
}

export function headingLine(columns: readonly Column[]): string {
  return ['time', ...columns.map((column) => column.heading)].map(csvField).join(',');
}

/**
 * Enters a message into the rows of its station: one row a time stamp, what comes twice stays as it came first.
 * Hands out the lines of the oldest rows once many newer ones are open.
 */
export function enter(
  columns: readonly Column[],
  open: OpenRows,
  message: Message,
): { readonly open: OpenRows; readonly lines: readonly string[] } {
  const payload = JSON.parse(message.payload) as Readonly<Record<string, unknown>>;
  const atMs = new Date(payload['t'] as string | number).getTime();
  const row = columns.map((column, i) => {
    const before = open.get(atMs)?.[i];
    return before ?? (column.topic === message.topic ? cell(payload[column.field]) : undefined);
  });
  const rows = new Map(open).set(atMs, row);
  const oldest = [...rows].sort(([a], [b]) => a - b).slice(0, Math.max(0, rows.size - MOST_OPEN));
  for (const [stamp] of oldest) rows.delete(stamp);
  return { open: rows, lines: oldest.map(csvLine) };
}

/** The lines of all rows that are still open. */
export function closingLines(open: OpenRows): readonly string[] {
  return [...open].sort(([a], [b]) => a - b).map(csvLine);
}

function cell(value: unknown): string | undefined {
  return typeof value === 'number' || typeof value === 'string' ? String(value) : undefined;
}

function csvLine([atMs, row]: readonly [number, Row]): string {
  return [new Date(atMs).toISOString(), ...row.map((value) => value ?? '')].map(csvField).join(',');
}

/** RFC 4180: quotes round what holds a comma, a quote or a line end. */
function csvField(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
