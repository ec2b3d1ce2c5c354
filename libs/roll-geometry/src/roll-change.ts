import { type Reason, reason } from '@edge-margin/units';
import { squaredDiameterPerFace } from './build-up.js';
import { diameterOf } from './build-estimate.js';
import { type CellFacts, isAboutCore, speedAllowance } from './cell-facts.js';
import type { PendingStep } from './pending-step.js';
import type { RollState } from './roll-tracker-types.js';
import type { TrackerSettings } from './tracker-settings.js';

/**
 * Whether a diameter that fell and stayed is a new roll. It is where nothing says that the roll is the same, more than half of what was wound is gone,
 * and a new roll can have come so far from its core, at the winder's highest speed, since the diameter was last told. Else the gauge was shifted.
 */
export function isNewRollByDiameter(
  step: PendingStep,
  roll: RollState,
  facts: CellFacts,
  settings: TrackerSettings,
): boolean {
  if (step.direction !== 'back' || step.vouched || roll.build === null) return false;
  const coreM2 = settings.coreDiameterM ** 2;
  const halfGone = step.expected ** 2 - coreM2 < 0.5 * (roll.build.diameterSquaredM2 - coreM2);
  const sinceS = (facts.atMs - roll.build.seenAtMs) / 1000;
  const possibleM2 =
    squaredDiameterPerFace * settings.caliperM * speedAllowance * settings.maxSpeedMPerS * sinceS;
  return halfGone && (isAboutCore(step.expected, settings) || step.expected ** 2 <= coreM2 + possibleM2);
}

/**
 * Whether a wound length that fell and stayed is a new roll: nothing says that the roll is the same, more than half of the length is gone, and no diameter
 * contradicts. A counter that was reset in the middle of a roll leaves the diameter where it is.
 */
export function isNewRollByLength(step: PendingStep, lengthBeforeM: number, facts: CellFacts): boolean {
  if (step.direction !== 'back' || step.vouched) return false;
  const contradicted = facts.readingM.kind === 'known' && facts.position === 'beyond';
  return step.expected < 0.5 * lengthBeforeM && !contradicted;
}

/** Whether the first of the readings already showed a roll that had just begun. */
export function beganInView(step: PendingStep, settings: TrackerSettings): boolean {
  return isAboutCore(step.first, settings);
}

/** Why a fallen diameter ended a roll. */
export function fellToCore(step: PendingStep): Reason {
  return reason(
    'diameter-fell-to-core',
    `the diameter fell to ${millimetres(step.first)}, where only a new roll can be`,
    { diameterM: step.first },
  );
}

/** Why a fallen wound length ended a roll. */
export function lengthReset(step: PendingStep, lengthBeforeM: number): Reason {
  const text = `the wound length fell from ${lengthBeforeM.toFixed(0)} m to ${step.first.toFixed(0)} m`;
  return reason('wound-length-reset', text, { lengthM: step.first, beforeM: lengthBeforeM });
}

/** Why a diameter that jumped is now believed. */
export function diameterReanchored(step: PendingStep, roll: RollState, diameterM: number): Reason {
  const expectedM = roll.build === null ? diameterM : diameterOf(roll.build).value;
  const same = step.vouched ? ', and the winding signal says that the roll is the same' : '';
  const text = `the diameter stayed at ${millimetres(diameterM)} for ${step.count} readings instead of ${millimetres(expectedM)}${same}`;
  return reason('diameter-shifted', text, { diameterM, expectedM, readings: step.count });
}

/** Why the offset of the length counter was set anew. */
export function lengthReanchored(step: PendingStep, signalM: number): Reason {
  const text = `the length counter went on from ${signalM.toFixed(0)} m within the roll; the wound length counts on`;
  return reason('length-counter-shifted', text, { lengthM: signalM, readings: step.count });
}

function millimetres(diameterM: number): string {
  return `${(diameterM * 1000).toFixed(1)} mm`;
}
