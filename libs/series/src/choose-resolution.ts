import { type Resolution, type RolledResolution, rolledResolutions, windowWidthMs } from './resolution.js';
import { bucketWidthMs } from './thin.js';

/** Windows that one trend reads at most, so that its cost is bounded whatever the range. */
const mostWindows = 25_000;

/**
 * The resolution that a trend needs: the coarsest windows of which an interval of the picture holds two or more (so that rounding the
 * intervals up to whole windows costs little), and raw points where it holds not even two of the finest. Where those windows would be too many to read, coarser ones.
 *
 * @param range `[fromMs, toMs)`, epoch ms; `maxPoints` >= `leastMaxPoints`.
 */
export function chooseResolution(range: {
  readonly fromMs: number;
  readonly toMs: number;
  readonly maxPoints: number;
}): Resolution {
  const spanMs = Math.max(1, range.toMs - range.fromMs);
  const intervalMs = bucketWidthMs(range.fromMs, range.fromMs + spanMs - 1, range.maxPoints);
  const fitting = rolledResolutions
    .filter((resolution) => 2 * windowWidthMs(resolution) <= intervalMs)
    .at(-1);
  if (fitting === undefined) return 'raw';
  const coarser = rolledResolutions.slice(rolledResolutions.indexOf(fitting));
  return (
    coarser.find((resolution) => spanMs / windowWidthMs(resolution) <= mostWindows) ??
    rolledResolutions.at(-1) ??
    fitting
  );
}

/** What could stand in for a resolution that does not reach far enough back: the coarser ones, which are kept longer, best first. */
export function standInsFor(resolution: Resolution): readonly RolledResolution[] {
  if (resolution === 'raw') return rolledResolutions;
  return rolledResolutions.slice(rolledResolutions.indexOf(resolution) + 1);
}
