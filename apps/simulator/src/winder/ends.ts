/** The two ends of a station, tending side first. */
export const ENDS = ['tending', 'drive'] as const;
export type End = (typeof ENDS)[number];

/** One number for each end, tending side first. */
export type Pair = readonly [tending: number, drive: number];
