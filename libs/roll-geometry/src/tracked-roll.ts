import { type Known, type Quantity, known, reason, unknown } from '@edge-margin/units';
import { squaredDiameterPerFace } from './build-up.js';
import { diameterOf, layerThicknessOf } from './build-estimate.js';
import type { CellFacts } from './cell-facts.js';
import { lengthFromDiameter, wrapsFromDiameter } from './roll-figures.js';
import type { RollState, TrackedRoll } from './roll-tracker-types.js';
import type { TrackerSettings } from './tracker-settings.js';

/** The roll as others see it, at the end of a cell. */
export function trackedRoll(roll: RollState, facts: CellFacts, settings: TrackerSettings): TrackedRoll {
  const diameterM = reportedDiameter(roll, facts, settings);
  const layerThicknessM = reportedLayer(roll, settings);
  const build = { coreDiameterM: settings.coreM, layerThicknessM };
  return {
    startedAtMs: roll.startedAtMs,
    startSeen: roll.startSeen,
    phase: roll.phase,
    diameterM,
    woundLengthM:
      roll.length === null
        ? lengthFromDiameter(build, diameterM)
        : known(Math.max(0, roll.length.m), roll.length.u),
    wrapCount: wrapsFromDiameter(build, diameterM),
    layerThicknessM,
    layerThicknessFrom:
      layerThicknessM.uncertainty < settings.layerM.uncertainty / 2 ? 'measured' : 'caliper',
  };
}

/** What a roll measured when a length less was on it. */
export function figuresBefore(
  roll: RollState,
  woundSinceM: number,
  settings: TrackerSettings,
): Pick<TrackedRoll, 'diameterM' | 'woundLengthM' | 'wrapCount'> {
  const layer = reportedLayer(roll, settings);
  const build = { coreDiameterM: settings.coreM, layerThicknessM: layer };
  const diameterM =
    roll.build === null ? startNotSeen() : shrunk(diameterOf(roll.build), layer.value, woundSinceM);
  const woundLengthM =
    roll.length === null
      ? lengthFromDiameter(build, diameterM)
      : known(Math.max(0, roll.length.m - woundSinceM), roll.length.u);
  return { diameterM, woundLengthM, wrapCount: wrapsFromDiameter(build, diameterM) };
}

function shrunk(diameterM: Known, layerThicknessM: number, lengthM: number): Known {
  const squareM2 = diameterM.value ** 2 - squaredDiameterPerFace * layerThicknessM * lengthM;
  return squareM2 > 0 ? known(Math.sqrt(squareM2), diameterM.uncertainty) : diameterM;
}

function reportedDiameter(roll: RollState, facts: CellFacts, settings: TrackerSettings): Quantity {
  if (roll.build === null)
    return settings.diameterFrom === 'length' || facts.readingM.kind === 'known'
      ? startNotSeen()
      : facts.readingM;
  const forS = (facts.atMs - roll.build.seenAtMs) / 1000;
  const holdsByItself = settings.diameterFrom === 'rotation' && roll.phase === 'stopped';
  if (forS <= settings.predictForS || holdsByItself) return diameterOf(roll.build);
  return unknown(
    reason('no-diameter', `no diameter for ${forS.toFixed(0)} s`, { sinceMs: roll.build.seenAtMs, forS }),
  );
}

function reportedLayer(roll: RollState, settings: TrackerSettings): Known {
  return roll.build === null || settings.diameterFrom === 'length'
    ? settings.layerM
    : layerThicknessOf(roll.build);
}

function startNotSeen(): Quantity {
  return unknown(
    reason(
      'start-not-seen',
      'the start of the roll was not seen, so its wound length and diameter are not known',
    ),
  );
}
