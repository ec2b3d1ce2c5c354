import { type Quantity, type Reason, reason, unknown } from '@edge-margin/units';
import { lengthToDiameter } from './build-up.js';
import type { RollCell } from './roll-tracker-types.js';
import type { TrackerSettings } from './tracker-settings.js';

/** A speed may pass the winder's highest, and a length that of its largest roll, by this factor before it is refused. Own choice. */
const speedFactor = 1.5;
const lengthFactor = 2;

/** The cell without speeds and lengths that the machine cannot make, and why they were taken out. */
export function plausibleCell(
  cell: RollCell,
  settings: TrackerSettings,
): { readonly cell: RollCell; readonly notUsed: readonly Reason[] } {
  const speed = speedRefused(cell.speedMPerS, settings);
  const length = lengthRefused(cell.woundLengthM, settings);
  if (speed === null && length === null) return { cell, notUsed: [] };
  return {
    cell: {
      ...cell,
      speedMPerS: speed === null ? cell.speedMPerS : unknown(speed),
      woundLengthM: length === null ? cell.woundLengthM : unknown(length),
    },
    notUsed: [speed, length].filter((because) => because !== null),
  };
}

function speedRefused(speed: Quantity, { maxSpeedMPerS }: TrackerSettings): Reason | null {
  if (speed.kind === 'unknown' || Math.abs(speed.value) <= speedFactor * maxSpeedMPerS) return null;
  const text = `speed ${speed.value.toPrecision(3)} m/s is more than the winder can run`;
  return reason('speed-beyond-machine', text, { speedMPerS: speed.value });
}

function lengthRefused(length: Quantity, settings: TrackerSettings): Reason | null {
  if (length.kind === 'unknown') return null;
  const { coreDiameterM: startDiameterM, caliperM: layerThicknessM, maxDiameterM } = settings;
  if (length.value <= lengthFactor * lengthToDiameter({ startDiameterM, layerThicknessM }, maxDiameterM))
    return null;
  const text = `wound length ${length.value.toPrecision(3)} m is more than the winder can build`;
  return reason('length-beyond-machine', text, { lengthM: length.value });
}
