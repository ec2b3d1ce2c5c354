import type { Level } from '../model/level.js';

/** Wraps in the edge of a plate. */
const plateWraps = 9;
/** Box in which an edge is described: a tooth's length wide, one unit a wrap high times ten. */
export const plateEdgeBox = { width: 40, height: 10 * plateWraps } as const;

/**
 * Which of nine wraps stand out of a plate's edge, and how far (share of a tooth's length): uneven, as on a real roll. Their count is the urgency:
 * three for high, two for medium, one for low. A state without an alarm has the two of a foreseen boundary, in ink only.
 */
const teeth: Partial<Record<Level, Readonly<Record<number, number>>>> = {
  high: { 1: 0.65, 3: 1, 6: 0.8 },
  medium: { 2: 1, 5: 0.6 },
  low: { 4: 0.8 },
  plain: { 2: 1, 5: 0.6 },
};

/** The right edge of a plate as an open path from top to bottom; straight where no wrap stands out. */
export function plateEdge(level: Level): string {
  const out = teeth[level];
  if (out === undefined) return `M0 0V${plateEdgeBox.height}`;
  let path = 'M0 0';
  for (let wrap = 0; wrap < plateWraps; wrap += 1)
    path += `H${plateEdgeBox.width * (out[wrap] ?? 0)}V${10 * (wrap + 1)}`;
  return `${path}H0`;
}
