import type { RefusedRow, ReplicaRow } from '@edge-margin/series';
import type { LineEncoder } from './line-protocol.js';
import type { LineWriter } from './write-lines.js';
import type { WriteOutcome } from './write-outcome.js';

/** Every row is stored or refused for good; or the delivery must be tried again as a whole (what is stored already does no harm). */
export type Delivery =
  | { readonly kind: 'delivered'; readonly refused: readonly RefusedRow[] }
  | Extract<WriteOutcome, { readonly kind: 'retry' | 'misconfigured' }>;

type Refusal = Extract<WriteOutcome, { readonly kind: 'refused' }>;

/** Brings rows to InfluxDB. */
export type RowDelivery = (rows: readonly ReplicaRow[], signal: AbortSignal) => Promise<Delivery>;

/**
 * Makes the delivery. Where the server refuses something in a batch, the batch is parted until the refused rows stand alone: by the field
 * that the server names in a type conflict, else in halves. A part of which the server says that it left out every line is not parted further.
 */
export function createRowDelivery(encode: LineEncoder, write: LineWriter): RowDelivery {
  const deliver: RowDelivery = async (rows, signal) => {
    const encoded = encode(rows.map(({ sample }) => sample));
    const refused = encoded.refused.flatMap(({ index, because }) =>
      rows.slice(index, index + 1).map((row) => ({ ...row, because })),
    );
    if (encoded.lineCount === 0) return { kind: 'delivered', refused };
    const bad = new Set(encoded.refused.map(({ index }) => index));
    const sent = rows.filter((_, index) => !bad.has(index));
    const rest = await settle(sent, encoded.lineCount, await write(encoded.body, signal), signal);
    return rest.kind === 'delivered' ? { kind: 'delivered', refused: [...refused, ...rest.refused] } : rest;
  };
  const settle = async (
    rows: readonly ReplicaRow[],
    lineCount: number,
    outcome: WriteOutcome,
    signal: AbortSignal,
  ): Promise<Delivery> => {
    if (outcome.kind === 'written') return { kind: 'delivered', refused: [] };
    if (outcome.kind === 'retry' || outcome.kind === 'misconfigured') return outcome;
    const allLeftOut = outcome.kind === 'refused' && leftOutAll(outcome, rows.length, lineCount);
    if (rows.length === 1 || allLeftOut) {
      return { kind: 'delivered', refused: rows.map((row) => ({ ...row, because: outcome.because })) };
    }
    return deliverParts(part(rows, outcome), signal);
  };
  const deliverParts = async (
    parts: readonly (readonly ReplicaRow[])[],
    signal: AbortSignal,
  ): Promise<Delivery> => {
    const refused: RefusedRow[] = [];
    for (const rows of parts) {
      const delivery = await deliver(rows, signal);
      if (delivery.kind !== 'delivered') return delivery;
      refused.push(...delivery.refused);
    }
    return { kind: 'delivered', refused };
  };
  return deliver;
}

/** A line goes whole: with one bad field the others of its instant go too, unless it is too old, which it is whole. */
function leftOutAll({ dropped, because }: Refusal, rowCount: number, lineCount: number): boolean {
  const whole = lineCount === rowCount || because.text.includes('beyond retention policy');
  return dropped === lineCount && whole;
}

function part(rows: readonly ReplicaRow[], outcome: WriteOutcome): readonly (readonly ReplicaRow[])[] {
  const conflict = outcome.kind === 'refused' ? typeConflictIn(outcome.because.text) : undefined;
  if (conflict !== undefined) {
    const inConflict = ({ sample }: ReplicaRow): boolean =>
      sample.field === conflict.field && sample.measurement === conflict.measurement;
    const suspects = rows.filter(inConflict);
    if (suspects.length > 0 && suspects.length < rows.length)
      return [rows.filter((row) => !inConflict(row)), suspects];
  }
  const middle = Math.ceil(rows.length / 2);
  return [rows.slice(0, middle), rows.slice(middle)];
}

function typeConflictIn(
  message: string,
): { readonly field: string; readonly measurement: string } | undefined {
  const [, field, measurement] = /input field "(.*)" on measurement "(.*?)" is type/.exec(message) ?? [];
  return field === undefined || measurement === undefined ? undefined : { field, measurement };
}
