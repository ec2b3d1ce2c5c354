import type { Grade } from '@edge-margin/plant';
import {
  compareWithFilm,
  noWoundInAirSeen,
  stepWoundInAir,
  type WoundInAirConfig,
  type WoundInAirState,
} from '@edge-margin/roll-geometry';
import { type DisplaySystem, type Quantity, reason, unknown } from '@edge-margin/units';
import type { MeasuredAir } from './assessment.js';
import { type Cell, signalKey } from './cell.js';
import { inputQuantity, type Inputs } from './inputs.js';
import { signalWord } from './words.js';

/** Relative standard uncertainty of a length that was counted or integrated from the speed: own assumption where the plant file says nothing. */
const lengthUncertaintyRatio = 0.003;
/** Scatter of a gauge whose uncertainty the plant file does not state, m: own assumption. */
const gaugeUncertaintyM = 0.0005;

export interface WoundInAirNow {
  readonly state: WoundInAirState;
  readonly measured: MeasuredAir;
}

export interface WoundInAirFacts {
  readonly before: WoundInAirState | undefined;
  readonly inputs: Inputs;
  readonly cell: Cell;
  readonly grade: Grade;
  readonly rollId: string;
  /** The model's wound-in film, at the pressure in the outermost wrap. */
  readonly filmM: Quantity;
  readonly display: DisplaySystem;
}

/** The air that the growth of the roll shows, held against the model; one step a second while a roll is on. */
export function woundInAirNow({
  before,
  cell,
  display,
  filmM,
  grade,
  inputs,
  rollId,
}: WoundInAirFacts): WoundInAirNow {
  const gauge = inputQuantity(inputs, 'diameter');
  const fresh = (signal: 'diameter' | 'woundLength'): Quantity =>
    cell[signalKey(signal, 'both')] === undefined
      ? unknown(
          reason('none-in-this-second', `no ${signalWord(signal, 'both')} came within this second`, {
            signal,
          }),
        )
      : inputQuantity(inputs, signal);
  const config: WoundInAirConfig = {
    caliperM: grade.caliperM,
    caliperUncertaintyRatio: grade.caliperUncertaintyRatio,
    gaugeUncertaintyM:
      gauge.kind === 'known' && gauge.uncertainty > 0 ? gauge.uncertainty : gaugeUncertaintyM,
    lengthUncertaintyRatio,
    display,
    ...(filmM.kind === 'known' && filmM.value > 0 ? { filmToSeeM: filmM.value } : {}),
  };
  const step = stepWoundInAir(
    before ?? noWoundInAirSeen,
    {
      atMs: inputs.atMs,
      rollId,
      diameterM: fresh('diameter'),
      woundLengthM: fresh('woundLength'),
      speedMPerS: inputQuantity(inputs, 'speed'),
    },
    config,
  );
  const { measured } = step;
  const against = compareWithFilm(measured, {
    filmM,
    display,
    woundInPressurePa: unknown(reason('not-measured', 'nothing tells the pressure between the buried wraps')),
  });
  return {
    state: step.state,
    measured: {
      layerThicknessM: measured.layerThicknessM,
      airThicknessM: measured.airThicknessM,
      changeSinceM: measured.changeSinceM,
      verdict: measured.verdict,
      because: measured.because,
      againstModel: { verdict: against.verdict, differenceM: against.differenceM, because: against.because },
    },
  };
}
