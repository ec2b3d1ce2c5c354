import type { JournalRow, NewJournalRow } from '@edge-margin/telemetry';
import { messageKind, type RowColumns } from './batch-format.mjs';

/** Codes in segment files: never change one, only add. */
const kindCodes = { message: messageKind, command: 2, config: 3, link: 4, tick: 5 } as const;
const kindsByCode = new Map(Object.entries(kindCodes).map(([kind, code]) => [code as number, kind]));

const retainFlag = 4;
const dupFlag = 8;

/** The columns of a row. */
export function columnsOf(row: NewJournalRow): RowColumns {
  const kind = kindCodes[row.kind];
  if (row.kind === 'message') {
    const flags = row.qos + (row.retain ? retainFlag : 0) + (row.dup ? dupFlag : 0);
    const { arrivedAtMs, topic, payload } = row;
    return { kind, flags, arrivedAtMs, topic, payload, json: null };
  }
  const json =
    row.kind === 'tick' ? null : JSON.stringify({ ...row, kind: undefined, arrivedAtMs: undefined });
  return { kind, flags: 0, arrivedAtMs: row.arrivedAtMs, topic: null, payload: null, json };
}

/**
 * The row that stands in a segment.
 * @throws RangeError for a kind this version does not know.
 */
export function rowOf(position: number, columns: RowColumns): JournalRow {
  const { arrivedAtMs, flags } = columns;
  const kind = kindsByCode.get(columns.kind);
  if (kind === undefined)
    throw new RangeError(`kind: ${columns.kind} at position ${position} is not known to this version`);
  if (kind === 'message') {
    const payload = columns.payload ?? new Uint8Array();
    return {
      kind,
      position,
      arrivedAtMs,
      topic: columns.topic ?? '',
      payload: new Uint8Array(payload.buffer, payload.byteOffset, payload.byteLength),
      qos: (flags & 3) as 0 | 1 | 2,
      retain: (flags & retainFlag) !== 0,
      dup: (flags & dupFlag) !== 0,
    };
  }
  const rest = columns.json === null ? {} : (JSON.parse(columns.json) as object);
  return { kind, position, arrivedAtMs, ...rest } as JournalRow;
}
