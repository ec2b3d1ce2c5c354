import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { messageKind, roomFor, type RowColumns, rowsOf, writeRow } from './batch-format.mjs';

const message = fc.record({
  kind: fc.constant(messageKind),
  flags: fc.integer({ min: 0, max: 15 }),
  arrivedAtMs: fc.integer({ min: 0, max: 4e12 }),
  topic: fc.string({ unit: 'grapheme', maxLength: 40 }),
  payload: fc.uint8Array({ maxLength: 300 }),
  json: fc.constant(null),
});
const other = fc.record({
  kind: fc.integer({ min: 2, max: 9 }),
  flags: fc.constant(0),
  arrivedAtMs: fc.double({ min: 0, max: 4e12, noNaN: true }),
  topic: fc.constant(null),
  payload: fc.constant(null),
  json: fc.option(fc.json()),
});

function batchOf(rows: readonly RowColumns[]): Uint8Array {
  const batch = Buffer.alloc(rows.reduce((sum, row) => sum + roomFor(row), 0));
  const used = rows.reduce((start, row) => writeRow(batch, start, row), 0);
  return new Uint8Array(batch.subarray(0, used));
}

describe('the batch format', () => {
  it('gives back every row as it was', () => {
    fc.assert(
      fc.property(fc.array(fc.oneof(message, other)), (rows) => {
        const back = [...rowsOf(batchOf(rows))].map((row) => ({
          ...row,
          payload: row.payload && new Uint8Array(row.payload),
        }));
        expect(back).toEqual(rows);
      }),
    );
  });

  it('refuses a topic longer than MQTT allows', () => {
    const row = {
      kind: messageKind,
      flags: 0,
      arrivedAtMs: 0,
      topic: 'a'.repeat(65_536),
      payload: null,
      json: null,
    };
    expect(() => batchOf([row])).toThrow(RangeError);
  });
});
