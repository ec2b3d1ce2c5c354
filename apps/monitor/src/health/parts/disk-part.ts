import { type Reason, reason } from '@edge-margin/units';
import type { DiskSpace } from '../disk-space.js';
import { figure, type PartReading, sign } from '../part-reading.js';

/**
 * Free space below which something is to be done: a share of the disk, but no more than a fixed size on a large one. Our own choice: at the
 * largest plant (20 winders, 5 signals at 10 Hz) journal and series grow by some 10 GB a day until they are let go of.
 */
const limits = {
  foreseen: { ratio: 0.1, bytes: 20e9 },
  reached: { ratio: 0.03, bytes: 2e9 },
} as const;
/** To count as over, so much more must be free. */
const hysteresis = 1.2;

type Stage = 'foreseen' | 'reached' | null;

/**
 * Space on the disk that holds DATA_DIR.
 * @param before the stage at the last look
 */
export function diskPart(
  space: DiskSpace | undefined,
  before: Stage,
): PartReading & { readonly stage: Stage } {
  if (space === undefined)
    return {
      part: 'disk',
      state: 'ok',
      because: [],
      blocks: false,
      figures: [],
      troubles: [],
      stage: before,
    };
  const stage = stageOf(space, before);
  const because = stage === null ? undefined : reasonOf(space, stage);
  return {
    part: 'disk',
    state: stage === null ? 'ok' : 'degraded',
    because: because === undefined ? [] : [because],
    blocks: false,
    figures: [
      figure('free-bytes', 'free', space.freeBytes, 'By'),
      figure('size-bytes', 'size', space.sizeBytes, 'By'),
      figure('free-ratio', 'share that is free', space.freeBytes / space.sizeBytes, 'ratio'),
    ],
    troubles: [sign('disk-space', stage, because)],
    stage,
  };
}

function stageOf(space: DiskSpace, before: Stage): Stage {
  const below = (stage: 'foreseen' | 'reached', held: boolean): boolean => {
    const { ratio, bytes } = limits[stage];
    return space.freeBytes < Math.min(ratio * space.sizeBytes, bytes) * (held ? hysteresis : 1);
  };
  if (below('reached', before === 'reached')) return 'reached';
  return below('foreseen', before !== null) ? 'foreseen' : null;
}

function reasonOf({ freeBytes, sizeBytes }: DiskSpace, stage: 'foreseen' | 'reached'): Reason {
  const ratio = freeBytes / sizeBytes;
  const left = `${(freeBytes / 1e9).toFixed(freeBytes < 1e10 ? 2 : 0)} GB (${(100 * ratio).toFixed(1)} %)`;
  return stage === 'reached'
    ? reason('disk-full-soon', `only ${left} are free on the disk that holds DATA_DIR`, {
        freeBytes,
        sizeBytes,
      })
    : reason('disk-filling', `${left} are free on the disk that holds DATA_DIR`, { freeBytes, sizeBytes });
}
