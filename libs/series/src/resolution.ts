/** How finely a trend is kept: as it was measured, or rolled up by windows of one length. */
export type Resolution = 'raw' | RolledResolution;
export type RolledResolution = '10s' | '1min' | '1h';

/** The windows that are kept, from fine to coarse; each length is a whole multiple of the one before. */
export const rolledResolutions: readonly RolledResolution[] = ['10s', '1min', '1h'];

const widths: Readonly<Record<RolledResolution, number>> = { '10s': 10_000, '1min': 60_000, '1h': 3_600_000 };

/** Length of a window, ms. */
export function windowWidthMs(resolution: RolledResolution): number {
  return widths[resolution];
}

/**
 * Start of the window that holds an instant, epoch ms. Windows are aligned to the epoch and hold their start, not their end.
 * @param atMs Epoch ms, whole.
 * @param widthMs Length of the windows, ms, whole, >= 1.
 */
export function windowStartMs(atMs: number, widthMs: number): number {
  return Math.floor(atMs / widthMs) * widthMs;
}
