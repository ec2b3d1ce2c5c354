// @ts-check
// How rows travel from the main thread to the writer thread: one block of bytes a batch, because the structured clone of
// one block costs far less than that of many small objects. Each row is a header of 16 bytes, then its topic, then its body.

/**
 * A row as it stands in a segment's table.
 * @typedef {object} RowColumns
 * @property {number} kind
 * @property {number} flags
 * @property {number} arrivedAtMs
 * @property {string | null} topic
 * @property {Uint8Array | null} payload Of a message.
 * @property {string | null} json Of every other kind.
 */

/** The kind that carries topic and payload; every other kind carries JSON. */
export const messageKind = 1;

const headerBytes = 16;
const longestTopicBytes = 0xffff;

/**
 * The most bytes a row can need in a batch.
 * @param {RowColumns} row
 */
export function roomFor(row) {
  return (
    headerBytes + 3 * (row.topic ?? '').length + (row.payload?.byteLength ?? 3 * (row.json ?? '').length)
  );
}

/**
 * Writes a row into a batch.
 * @param {Buffer} batch
 * @param {number} start
 * @param {RowColumns} row
 * @returns {number} The offset behind the row.
 */
export function writeRow(batch, start, row) {
  const topicStart = start + headerBytes;
  const topicBytes = row.topic === null ? 0 : batch.write(row.topic, topicStart);
  if (topicBytes > longestTopicBytes)
    throw new RangeError(`topic: ${topicBytes} bytes, at most ${longestTopicBytes}`);
  const bodyStart = topicStart + topicBytes;
  let bodyBytes = 0;
  if (row.payload !== null) {
    batch.set(row.payload, bodyStart);
    bodyBytes = row.payload.byteLength;
  } else if (row.json !== null) {
    bodyBytes = batch.write(row.json, bodyStart);
  }
  batch[start] = row.kind;
  batch[start + 1] = row.flags;
  batch.writeUInt16LE(topicBytes, start + 2);
  batch.writeUInt32LE(bodyBytes, start + 4);
  batch.writeDoubleLE(row.arrivedAtMs, start + 8);
  return bodyStart + bodyBytes;
}

/**
 * The rows of a batch, in order. Payloads are views into the batch.
 * @param {Uint8Array} bytes
 * @returns {Generator<RowColumns, void, void>}
 */
export function* rowsOf(bytes) {
  const batch = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let start = 0;
  while (start < batch.length) {
    const kind = batch.readUInt8(start);
    const topicStart = start + headerBytes;
    const bodyStart = topicStart + batch.readUInt16LE(start + 2);
    const end = bodyStart + batch.readUInt32LE(start + 4);
    const isMessage = kind === messageKind;
    yield {
      kind,
      flags: batch.readUInt8(start + 1),
      arrivedAtMs: batch.readDoubleLE(start + 8),
      topic: isMessage ? batch.toString('utf8', topicStart, bodyStart) : null,
      payload: isMessage ? batch.subarray(bodyStart, end) : null,
      json: isMessage || end === bodyStart ? null : batch.toString('utf8', bodyStart, end),
    };
    start = end;
  }
}
