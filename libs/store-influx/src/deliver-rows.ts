import { setImmediate as nextTurn } from 'node:timers/promises';
import type { Reason } from '@edge-margin/units';
import type { LineEncoder, LineSample } from './line-protocol.js';
import type { LineBody, LineWriter } from './write-lines.js';
import type { WriteOutcome } from './write-outcome.js';

/** Something that is written as one field of one line. */
export interface LineRow {
  readonly sample: LineSample;
  /** `seriesKey` of the sample, where it is known. */
  readonly key?: string;
}

/** A row that will never be taken, with the reason. */
export type Refused<Row> = Row & { readonly because: Reason };

/** Every row is stored or refused for good; or the delivery must be tried again as a whole (what is stored already does no harm). */
export type Delivery<Row> =
  | {
      readonly kind: 'delivered';
      readonly refused: readonly Refused<Row>[];
      /** It had to be parted for its size. */ readonly tooLarge: boolean;
    }
  | DeliveryFailure;

export type DeliveryFailure = Extract<WriteOutcome, { readonly kind: 'retry' | 'misconfigured' }>;

type Refusal = Extract<WriteOutcome, { readonly kind: 'refused' }>;

/** Rows as they will be sent. */
export interface PreparedRows<Row> {
  readonly body: LineBody;
  readonly lineCount: number;
  /** The rows in the body. */
  readonly sent: readonly Row[];
  /** Rows that cannot be written at all. */
  readonly refused: readonly Refused<Row>[];
}

/** Brings rows to InfluxDB, in two steps, so that the next rows can be prepared while these are on their way. */
export interface RowDelivery<Row extends LineRow> {
  readonly prepare: (rows: readonly Row[]) => Promise<PreparedRows<Row>>;
  readonly send: (prepared: PreparedRows<Row>, signal: AbortSignal) => Promise<Delivery<Row>>;
}

/** Rows encoded in one go: encoding thousands would hold up everything else for milliseconds. */
const rowsInOneGo = 500;

/**
 * Makes the delivery. Where the server refuses something in a batch, the batch is parted until the refused rows stand alone: by the field
 * that the server names in a type conflict, else in halves. A part of which the server says that it left out every line is not parted further.
 */
export function createRowDelivery<Row extends LineRow>(
  encode: LineEncoder,
  write: LineWriter,
  pack: (lines: string) => LineBody | Promise<LineBody> = (lines) => lines,
): RowDelivery<Row> {
  const prepare = async (rows: readonly Row[]): Promise<PreparedRows<Row>> => {
    const encoded = await encodeInPieces(encode, rows);
    return { ...encoded, body: await pack(encoded.body) };
  };
  const send: RowDelivery<Row>['send'] = async ({ body, lineCount, sent, refused }, signal) => {
    if (lineCount === 0) return { kind: 'delivered', refused, tooLarge: false };
    const rest = await settle(sent, lineCount, await write(body, signal), signal);
    return rest.kind === 'delivered' ? { ...rest, refused: [...refused, ...rest.refused] } : rest;
  };
  const settle = async (
    rows: readonly Row[],
    lineCount: number,
    outcome: WriteOutcome,
    signal: AbortSignal,
  ): Promise<Delivery<Row>> => {
    if (outcome.kind === 'written') return { kind: 'delivered', refused: [], tooLarge: false };
    if (outcome.kind === 'retry' || outcome.kind === 'misconfigured') return outcome;
    const tooLarge = outcome.kind === 'split';
    const allLeftOut = outcome.kind === 'refused' && leftOutAll(outcome, rows.length, lineCount);
    if (rows.length === 1 || allLeftOut) {
      return {
        kind: 'delivered',
        refused: rows.map((row) => ({ ...row, because: outcome.because })),
        tooLarge,
      };
    }
    const delivery = await deliverParts(part(rows, outcome), signal);
    return delivery.kind === 'delivered' && tooLarge ? { ...delivery, tooLarge } : delivery;
  };
  const deliverParts = async (
    parts: readonly (readonly Row[])[],
    signal: AbortSignal,
  ): Promise<Delivery<Row>> => {
    const refused: Refused<Row>[] = [];
    let tooLarge = false;
    for (const rows of parts) {
      const delivery = await send(await prepare(rows), signal);
      if (delivery.kind !== 'delivered') return delivery;
      refused.push(...delivery.refused);
      tooLarge ||= delivery.tooLarge;
    }
    return { kind: 'delivered', refused, tooLarge };
  };
  return { prepare, send };
}

async function encodeInPieces<Row extends LineRow>(
  encode: LineEncoder,
  rows: readonly Row[],
): Promise<PreparedRows<Row> & { readonly body: string }> {
  let [body, lineCount] = ['', 0];
  const sent: Row[] = [];
  const refused: Refused<Row>[] = [];
  for (let start = 0; start < rows.length; start += rowsInOneGo) {
    if (start > 0) await nextTurn();
    const piece = rows.slice(start, start + rowsInOneGo);
    const encoded = encode(
      piece.map(({ sample }) => sample),
      piece.map(({ key }) => key),
    );
    const reasons = new Map(encoded.refused.map(({ index, because }) => [index, because]));
    body += encoded.body;
    lineCount += encoded.lineCount;
    piece.forEach((row, index) => {
      const because = reasons.get(index);
      if (because === undefined) sent.push(row);
      else refused.push({ ...row, because });
    });
  }
  return { body, lineCount, sent, refused };
}

/** A line goes whole: with one bad field the others of its instant go too, unless it is too old, which it is whole. */
function leftOutAll({ dropped, because }: Refusal, rowCount: number, lineCount: number): boolean {
  const whole = lineCount === rowCount || because.text.includes('beyond retention policy');
  return dropped === lineCount && whole;
}

function part<Row extends LineRow>(rows: readonly Row[], outcome: WriteOutcome): readonly (readonly Row[])[] {
  const conflict = outcome.kind === 'refused' ? typeConflictIn(outcome.because.text) : undefined;
  if (conflict !== undefined) {
    const inConflict = ({ sample }: Row): boolean =>
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
