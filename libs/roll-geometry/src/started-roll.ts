import type { Reason } from '@edge-margin/units';
import {
  type BuildEstimate,
  type WoundStep,
  anchoredBuild,
  correctedBuild,
  predictedBuild,
  readingVerdict,
} from './build-estimate.js';
import { type CellFacts, speedAllowance } from './cell-facts.js';
import { buildByLength } from './build-by-length.js';
import type { RollState } from './roll-tracker-types.js';
import type { TrackerSettings } from './tracker-settings.js';

/** How a roll began. */
export interface RollStart {
  readonly atMs: number;
  /** The start was seen: the roll then began on the bare core. */
  readonly seen: boolean;
  /** Length wound since, m; `exactly` told, or anything up to that where the start lies somewhere within the cell. */
  readonly woundM: number;
  readonly exactly: boolean;
  readonly because: Reason;
}

/** The roll at the end of the cell in which its start is recognised: built up from the core if the start was seen, else from what is there. */
export function startedRoll(start: RollStart, facts: CellFacts, settings: TrackerSettings): RollState {
  const { length, offsetM } = lengthAtStart(start, facts, settings);
  return {
    startedAtMs: start.atMs,
    startSeen: start.seen,
    phase: facts.moving === false ? 'stopped' : 'winding',
    build:
      settings.diameterFrom === 'length'
        ? buildByLength(null, length, facts, settings)
        : buildAtStart(start, facts, settings),
    length,
    lengthOffsetM: offsetM,
  };
}

function buildAtStart(
  start: RollStart,
  { readingM, atMs }: CellFacts,
  settings: TrackerSettings,
): BuildEstimate | null {
  if (!start.seen) return readingM.kind === 'known' ? anchoredBuild(readingM, settings.layerM, atMs) : null;
  const onCore = anchoredBuild(settings.coreM, settings.layerM, start.atMs);
  const wound: WoundStep = start.exactly
    ? { kind: 'told', lengthM: start.woundM, uncertaintyM: 0 }
    : { kind: 'unseen', atMostM: start.woundM };
  const build = predictedBuild(onCore, wound);
  const fits = readingM.kind === 'known' && readingVerdict(build, readingM) === 'fits';
  return fits ? correctedBuild(build, readingM, settings.caliperM, atMs) : build;
}

/** A counter that has not been reset yet (or never is) at the start of the roll counts on with an offset. */
function lengthAtStart(
  start: RollStart,
  facts: CellFacts,
  settings: TrackerSettings,
): { length: RollState['length']; offsetM: number } {
  const counted = start.exactly
    ? { m: start.woundM, u: start.woundM * facts.woundUncertaintyRatio }
    : // Uniform between nothing and all of the cell (JCGM 100:2008, 4.3.7).
      { m: start.woundM / 2, u: start.woundM / Math.sqrt(12) };
  if (facts.lengthM.kind === 'unknown') return { length: start.seen ? counted : null, offsetM: 0 };
  const signalled = { m: facts.lengthM.value, u: facts.lengthM.uncertainty };
  const toleranceM =
    1 + speedAllowance * settings.maxSpeedMPerS * Math.max(1, facts.durationS) + 0.2 * start.woundM;
  const resetInTime = Math.abs(signalled.m - start.woundM) <= toleranceM;
  return start.seen && !resetInTime
    ? { length: counted, offsetM: counted.m - signalled.m }
    : { length: signalled, offsetM: 0 };
}
