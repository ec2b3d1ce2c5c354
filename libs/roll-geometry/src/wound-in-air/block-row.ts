/** One reading: where, and how far the roll is ahead there of one built of bare caliper. */
export type Point = readonly [position: number, excess: number];

/** Neighbouring readings as one: how many, and their mean position and excess. */
export type Block = readonly [cellCount: number, position: number, excess: number];

/** Readings condensed into at most {@link mostBlocks} blocks of equal length of web. */
export interface BlockRow {
  readonly blocks: readonly Block[];
  /** Length of a block; 0 while each reading is one. */
  readonly step: number;
  /** Where the last block begins. */
  readonly openFrom: number;
}

/** Enough to place a stretch to a tenth of its length, and below 2 kB. Own choice; even, so that pairs can be joined. */
export const mostBlocks = 36;

export const noBlocks: BlockRow = { blocks: [], step: 0, openFrom: 0 };

/** A row in which each reading is a block. */
export function rowOfPoints(points: readonly Point[]): BlockRow {
  return {
    blocks: points.map(([position, excess]): Block => [1, position, excess]),
    step: 0,
    openFrom: points.at(-1)?.[0] ?? 0,
  };
}

/**
 * The row with one more reading.
 * @param row the row so far.
 * @param point the reading.
 * @param keep how far back the row must reach: a full row that reaches further loses its oldest block, another has its blocks joined in pairs.
 */
export function rowWith(row: BlockRow, [position, excess]: Point, keep: number): BlockRow {
  const last = row.blocks.at(-1);
  if (last !== undefined && position - row.openFrom < row.step) {
    const blocks = row.blocks.slice();
    blocks[blocks.length - 1] = joined(last, [1, position, excess]);
    return { ...row, blocks };
  }
  const blocks: readonly Block[] = [...row.blocks, [1, position, excess]];
  const grown = { ...row, blocks, openFrom: position };
  if (blocks.length < mostBlocks) return grown;
  const second = blocks[1];
  return second !== undefined && position - second[1] >= keep
    ? { ...grown, blocks: blocks.slice(1) }
    : inPairs(grown);
}

/** What of the row lies before a position. */
export function blocksBefore({ blocks }: BlockRow, position: number): readonly Block[] {
  return blocks.filter((block) => block[1] < position);
}

function inPairs({ blocks, openFrom }: BlockRow): BlockRow {
  const pairs = blocks.flatMap((block, index) => {
    const next = blocks[index + 1];
    return index % 2 === 1 || next === undefined ? [] : [joined(block, next)];
  });
  const [first, last] = [pairs[0], pairs.at(-1)];
  const span = first === undefined || last === undefined ? 0 : last[1] - first[1];
  return { blocks: pairs, step: span / (pairs.length - 1), openFrom };
}

function joined(a: Block, b: Block): Block {
  const count = a[0] + b[0];
  return [count, (a[0] * a[1] + b[0] * b[1]) / count, (a[0] * a[2] + b[0] * b[2]) / count];
}
