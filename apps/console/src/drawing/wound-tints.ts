import { type GaugeBox, type X, tenth } from './gauge-scale.js';
import { type Stretch, highestWithin } from './risk-profile.js';
import { tintStep, tintSteps } from './tint.js';

/** One path a tint. */
export interface TintPath {
  readonly step: number;
  readonly path: string;
}

/** Silhouettes are drawn no lighter than this step, so that low heights stay visible. */
const faintestSilhouette = Math.round(0.25 * tintSteps);

/** Columns of the silhouette above zero and of the body below it, gathered by tint. */
export function woundTints(wound: readonly Stretch[], x: X, box: GaugeBox): readonly TintPath[] {
  const paths = new Map<number, string>();
  const add = (step: number, path: string) => paths.set(step, (paths.get(step) ?? '') + path);
  for (const stretch of wound) {
    for (const column of columns(stretch, x, box.column)) {
      const step = tintStep(column.risk);
      const height = tenth(column.risk * box.plot);
      const zero = box.top + box.plot;
      if (height > 0)
        add(Math.max(step, faintestSilhouette), bar(column.x, zero - height, column.width, height));
      add(step, bar(column.x, zero, column.width, box.body));
    }
  }
  return [...paths].sort(([a], [b]) => a - b).map(([step, path]) => ({ step, path }));
}

interface Column {
  readonly x: number;
  readonly width: number;
  readonly risk: number;
}

/** One column a few pixels wide with the highest chance within it; columns overlap a little, so that no seam shows. */
function columns(stretch: Stretch, x: X, width: number): readonly Column[] {
  const first = stretch[0]?.diameterM ?? 0;
  const last = stretch.at(-1)?.diameterM ?? 0;
  const count = Math.max(1, Math.ceil((x(last) - x(first)) / width));
  const stepM = (last - first) / count;
  return Array.from({ length: count }, (_, at) => {
    const fromM = first + at * stepM;
    const seam = at === count - 1 ? 0 : 0.6;
    return {
      x: x(fromM),
      width: tenth(x(fromM + stepM) - x(fromM) + seam),
      risk: highestWithin(stretch, fromM, fromM + stepM) ?? 0,
    };
  });
}

function bar(x: number, y: number, width: number, height: number): string {
  return `M${x} ${tenth(y)}h${width}v${height}h${-width}z`;
}
