import { known } from '@edge-margin/units';
import { type BuildEstimate, anchoredBuild, predictedBuild } from './build-estimate.js';
import type { CellFacts } from './cell-facts.js';
import { diameterFromLength } from './roll-figures.js';
import type { RollState } from './roll-tracker-types.js';
import type { TrackerSettings } from './tracker-settings.js';

/** In mode `length` the diameter is that of the length wound on the core, nothing else. */
export function buildByLength(
  before: BuildEstimate | null,
  length: RollState['length'],
  facts: CellFacts,
  settings: TrackerSettings,
): BuildEstimate | null {
  if (length === null) return null;
  const told = facts.wound.kind === 'told' || facts.lengthVerdict === 'fits';
  if (!told) return before && predictedBuild(before, facts.wound);
  const byCounter = facts.lengthVerdict === 'fits';
  const diameterM = diameterFromLength(
    { coreDiameterM: settings.coreM, layerThicknessM: settings.layerM },
    known(length.m, length.u),
  );
  if (diameterM.kind === 'unknown') return null;
  // What went unseen stays open until the counter tells it.
  const unseenLengthM = byCounter ? 0 : (before?.unseenLengthM ?? 0);
  const build = anchoredBuild(diameterM, settings.layerM, facts.atMs);
  return { ...build, unseenLengthM, readingUncertaintyM: 0 };
}
