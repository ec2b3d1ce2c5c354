import type { Grade } from '@edge-margin/plant';
import {
  type RollCell,
  type RollTrackerConfig,
  type RollTrackerStep,
  stepRoll,
} from '@edge-margin/roll-geometry';
import { known, type Quantity, reason, unknown } from '@edge-margin/units';
import { type Cell, signalKey } from './cell.js';
import { inputQuantity, type Inputs } from './inputs.js';
import type { StationModel } from './model.js';
import type { StationState } from './station-state.js';

/** Follows the roll by one cell. */
export function rollNow(
  model: StationModel,
  state: StationState,
  cell: Cell,
  inputs: Inputs,
  grade: Grade,
): RollTrackerStep {
  const { station, winder } = model.context;
  const config: RollTrackerConfig = {
    gradeId: grade.id,
    coreDiameterM: station.coreDiameterM,
    caliperM: grade.caliperM,
    diameterFrom: station.diameterFrom,
    maxSpeedMPerS: winder.limits.speedMPerS.max,
    maxDiameterM: winder.limits.diameterM.max,
  };
  const rollCell: RollCell = {
    atMs: inputs.atMs,
    speedMPerS: meanSpeed(cell, inputs),
    diameterM: freshQuantity(cell, inputs, 'diameter'),
    coreRotationHz: freshQuantity(cell, inputs, 'coreRotation'),
    woundLengthM: freshQuantity(cell, inputs, 'woundLength'),
    winding: smallestInCell(cell, inputs),
  };
  return stepRoll(state.roll, rollCell, config);
}

/** The roll tracker must not take an old reading for a new one: without a reading in this cell it predicts. */
function freshQuantity(
  cell: Cell,
  inputs: Inputs,
  signal: 'diameter' | 'coreRotation' | 'woundLength',
): Quantity {
  const held = inputQuantity(inputs, signal);
  if (held.kind === 'unknown' || cell[signalKey(signal, 'both')] !== undefined) return held;
  return unknown(reason('none-in-this-second', `no ${signal} came within this second`, { signal }));
}

/** Mean over the cell, so that the length wound through a ramp is right; without a reading in the cell the last speed holds until it is stale. */
function meanSpeed(cell: Cell, inputs: Inputs): Quantity {
  const held = inputQuantity(inputs, 'speed');
  const inCell = cell[signalKey('speed', 'both')];
  return held.kind === 'unknown' || inCell === undefined
    ? held
    : known(inCell.sum / inCell.count, held.uncertainty);
}

/** A roll change within the cell must not be missed: of several values the smallest counts. */
function smallestInCell(cell: Cell, inputs: Inputs): Quantity {
  const inCell = cell[signalKey('winding', 'both')];
  return inCell === undefined ? inputQuantity(inputs, 'winding') : known(inCell.min);
}
