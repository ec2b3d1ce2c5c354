/** A value that jumped and is watched: one stray reading is forgotten, several that agree are believed. */
export interface PendingStep {
  readonly direction: 'back' | 'ahead';
  /** When the first of the readings came, epoch ms. */
  readonly sinceMs: number;
  /** Readings that agree so far. */
  readonly count: number;
  readonly first: number;
  /** What the last of them leads to expect now. */
  readonly expected: number;
  /** Length told to have been wound since the cell before the first of them, m. */
  readonly woundM: number;
  /** The winding signal said all the time that the roll is the same. */
  readonly vouched: boolean;
}

/** One reading that jumped. */
export interface JumpedReading {
  readonly direction: 'back' | 'ahead';
  readonly value: number;
  readonly atMs: number;
  /** Length told to have been wound in the cell, m. */
  readonly woundM: number;
  readonly vouched: boolean;
}

/**
 * The step with one more reading that jumped.
 * @param pending the step watched so far, if any, brought up to now by {@link stepMeanwhile}.
 * @param reading the reading that jumped.
 * @param agrees whether it is what the last one led to expect; if not, the watch begins anew with it.
 */
export function withJump(pending: PendingStep | null, reading: JumpedReading, agrees: boolean): PendingStep {
  const { direction, value, atMs, woundM, vouched } = reading;
  if (pending === null || !agrees || pending.direction !== direction) {
    return { direction, sinceMs: atMs, count: 1, first: value, expected: value, woundM, vouched };
  }
  return { ...pending, count: pending.count + 1, expected: value, vouched: pending.vouched && vouched };
}

/**
 * The step at the end of one more cell.
 * @param pending the step watched so far.
 * @param woundM length wound in the cell, m.
 * @param expected what is to be expected now.
 */
export function stepMeanwhile(pending: PendingStep, woundM: number, expected: number): PendingStep {
  return { ...pending, woundM: pending.woundM + woundM, expected };
}
