import { type Known, type Quantity, type Reason, known, reason, unknown } from '@edge-margin/units';
import { diameterFromRotation } from './diameter-from-rotation.js';
import type { RollCell } from './roll-tracker-types.js';
import type { TrackerSettings } from './tracker-settings.js';

/** No diameter is known better than this share of itself. Own assumption. */
const leastUncertaintyRatio = 0.001;
/** Taken for a diameter that is given without uncertainty, m: nothing is exact, and a gauge at a core scatters as much as at a full roll. Own assumption. */
const unstatedUncertaintyM = 0.001;
/** Readings may pass what the machine can do by this share before they are refused. Own choice. */
const overMachineRatio = 1.05;
/** A gauge that reads less than this share of the core sees no core. Own choice. */
const underCoreRatio = 0.8;

/** A diameter that was read, or why not; what was refused is told apart. */
export interface DiameterReading {
  readonly readingM: Quantity;
  readonly notUsed: readonly Reason[];
}

/** The diameter as measured, if the machine can make it: by gauge, or by speed and core rotation; computed from the length it is no reading. */
export function diameterReading(cell: RollCell, settings: TrackerSettings): DiameterReading {
  const measured = measuredDiameter(cell, settings);
  if (measured.kind === 'unknown') return { readingM: measured, notUsed: [] };
  const refused = refusal(measured, settings);
  if (refused !== null) return { readingM: unknown(refused), notUsed: [refused] };
  return {
    readingM: withUncertainty(measured),
    notUsed: [],
  };
}

function measuredDiameter(cell: RollCell, settings: TrackerSettings): Quantity {
  if (settings.diameterFrom === 'gauge') return cell.diameterM;
  if (settings.diameterFrom === 'length')
    return unknown(reason('diameter-from-length', 'the diameter is computed from the wound length'));
  if (cell.speedMPerS.kind === 'known' && cell.speedMPerS.value <= settings.standstillSpeedMPerS) {
    return unknown(
      reason('roll-standing', 'the roll does not turn fast enough to tell its diameter', {
        speedMPerS: cell.speedMPerS.value,
      }),
    );
  }
  return diameterFromRotation(cell);
}

function refusal(measured: Known, settings: TrackerSettings): Reason | null {
  const params = { diameterM: measured.value };
  const shown = `${(measured.value * 1000).toFixed(0)} mm`;
  if (measured.value > overMachineRatio * settings.maxDiameterM) {
    return reason('diameter-beyond-machine', `diameter ${shown} is more than the winder can build`, params);
  }
  if (measured.value < underCoreRatio * settings.coreDiameterM) {
    return reason('diameter-below-core', `diameter ${shown} is less than the core`, params);
  }
  return null;
}

function withUncertainty({ value, uncertainty }: Known): Known {
  return known(
    value,
    Math.max(uncertainty === 0 ? unstatedUncertaintyM : uncertainty, leastUncertaintyRatio * value),
  );
}
