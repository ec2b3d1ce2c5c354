import type { End } from '@edge-margin/plant';
import { known, type Quantity, reason } from '@edge-margin/units';
import { loadSwing, nipBounce, type NipEndMeasured } from '@edge-margin/vibration';
import type { NipInHand } from './assessment.js';
import { type Cell, signalKey } from './cell.js';
import { endsGiven, inputQuantity, type Inputs } from './inputs.js';
import type { StationModel } from './model.js';
import type { NipLoadNow } from './nip-load-now.js';

/** The bounce of the nip at one grid time: what is shown, and its chance. */
export interface NipNow {
  readonly inHand: NipInHand;
  readonly chance: Quantity;
}

export interface NipFacts {
  readonly model: StationModel;
  readonly inputs: Inputs;
  readonly cell: Cell;
  readonly load: NipLoadNow;
  /** False while the roll stands or there is none: nothing bounces then. */
  readonly winding: boolean;
}

/** The nip-bounce indicator from the readings, per end and for the worse one. A station without a nip has none to watch. */
export function nipNow(facts: NipFacts): NipNow {
  const { inputs, model, winding } = facts;
  const { limits, station, webWidthM } = model.context;
  if (station.nip === null) {
    return calm(facts, reason('no-nip', 'no roller touches the winding roll, so none can bounce'));
  }
  if (!winding) return calm(facts, reason('not-winding', 'nothing is being wound'));
  const ends = endsGiven(inputs, ['nipAcceleration', 'nipLoadSwing', 'nipLoad', 'cylinderPressure']);
  const measured = (ends.length > 0 ? ends : (['both'] as const)).map((end) => endMeasured(facts, end));
  const { effectiveMassPerEndKg, staticForcePerEndN } = station.nip;
  const bounce = nipBounce(measured, {
    contactWidthM: webWidthM,
    effectiveMassPerEndKg,
    staticForcePerEndN,
    standing: false,
    limits: { contactLossRatio: limits.nipBounce.contactLossRatio, swingRatio: limits.nipBounce.swingRatio },
  });
  const shown = bounce.ends.map(({ end, contactLossRatio, swingRatio, contactLost }) => ({
    end,
    contactLossRatio,
    swingRatio,
    contactLost,
  }));
  return {
    inHand: {
      watched: bounce.watched,
      because: bounce.because,
      inHandRatio: bounce.inHandRatio,
      loadNPerM: facts.load.meanNPerM,
      ends: shown,
    },
    chance: bounce.chanceAboveLimit,
  };
}

/** Nothing can bounce: watched, and in hand. */
function calm({ load }: NipFacts, because: NipInHand['because']): NipNow {
  return {
    inHand: { watched: true, because, inHandRatio: known(1), loadNPerM: load.meanNPerM, ends: [] },
    chance: known(0),
  };
}

function endMeasured({ inputs, cell, load }: NipFacts, end: End): NipEndMeasured {
  return {
    end,
    peakAccelerationMPerS2: largestInCell(inputs, cell, 'nipAcceleration', end),
    nipLoadNPerM: load.atEnd(end),
    swingRatio: swingAt(inputs, cell, end),
  };
}

/** Vibration enters an assessment as the largest value of its second, not the last. */
function largestInCell(
  inputs: Inputs,
  cell: Cell,
  signal: 'nipAcceleration' | 'nipLoadSwing',
  end: End,
): Quantity {
  const held = inputQuantity(inputs, signal, end);
  const inCell = cell[signalKey(signal, end)];
  return held.kind === 'unknown' || inCell === undefined ? held : known(inCell.max, inCell.uncertainty);
}

/** The swing that the source measured within its blocks, or else what the load samples of this second show. */
function swingAt(inputs: Inputs, cell: Cell, end: End): Quantity {
  if (inputs.mapped.has(signalKey('nipLoadSwing', end)))
    return largestInCell(inputs, cell, 'nipLoadSwing', end);
  const load = cell[signalKey('nipLoad', end)] ?? cell[signalKey('nipLoad', 'both')];
  if (load === undefined) return inputQuantity(inputs, 'nipLoadSwing', end);
  return loadSwing({
    meanNPerM: load.sum / load.count,
    minimumNPerM: load.min,
    sampleCount: load.count,
    uncertaintyNPerM: load.uncertainty,
  });
}
