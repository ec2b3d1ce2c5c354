import { type Resolution, type RolledResolution, windowWidthMs } from '@edge-margin/series';

/** A resolution as the tables number it. */
export interface RollUpLevel {
  readonly number: number;
  readonly resolution: RolledResolution;
  readonly widthMs: number;
}

const level = (number: number, resolution: RolledResolution): RollUpLevel => ({
  number,
  resolution,
  widthMs: windowWidthMs(resolution),
});

export const finestLevel: RollUpLevel = level(1, '10s');

/** From fine to coarse; each is made of the one before, the first of samples. */
export const rollUpLevels: readonly RollUpLevel[] = [finestLevel, level(2, '1min'), level(3, '1h')];

/** The number of samples as they were measured. */
export const rawLevel = 0;

/** The level of a resolution. */
export function levelOf(resolution: RolledResolution): RollUpLevel {
  return rollUpLevels.find((candidate) => candidate.resolution === resolution) ?? finestLevel;
}

/** The number of a resolution in the tables, that of samples included. */
export function levelNumber(resolution: Resolution): number {
  return resolution === 'raw' ? rawLevel : levelOf(resolution).number;
}
