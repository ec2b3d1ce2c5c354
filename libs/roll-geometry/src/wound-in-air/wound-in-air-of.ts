import { type Known, type Quantity, type Reason, known, reason, unknown } from '@edge-margin/units';
import { airVerdict } from './air-verdict.js';
import { type ChosenStretch, chosenStretch } from './chosen-stretch.js';
import type { SlopeOfStretch } from './excess-line.js';
import { scatterToUse } from './reading-scatter.js';
import { isNoLayer } from './slope-to-remember.js';
import { stretchChoice } from './stretch-in-hand.js';
import type { WoundInAirSettings } from './wound-in-air-settings.js';
import type { AirContributions, WoundInAir, WoundInAirState } from './wound-in-air-types.js';

/** What the readings so far tell of the air over the stretch that ends now. */
export function woundInAirOf(state: WoundInAirState, settings: WoundInAirSettings): WoundInAir {
  const choice = stretchChoice(state, settings);
  const stretch = chosenStretch(state.row.blocks, choice);
  if (stretch === null) return nothingMeasured(state, settings);
  const earlier = chosenStretch(state.row.blocks.slice(0, stretch.first), choice)?.line ?? state.before;
  return measuredOver(stretch, earlier, state, settings);
}

function measuredOver(
  { line }: ChosenStretch,
  earlier: SlopeOfStretch | null,
  state: WoundInAirState,
  settings: WoundInAirSettings,
): WoundInAir {
  const ratio = calibrationRatio(state, settings);
  const layerM = settings.caliperM + line.slope;
  const contributions: AirContributions = {
    noiseM: line.noise,
    calibrationM: ratio * Math.abs(layerM),
    caliperM: settings.caliperUncertaintyM,
  };
  const layerUncertaintyM = Math.hypot(contributions.noiseM, contributions.calibrationM);
  const air = known(line.slope, Math.hypot(layerUncertaintyM, contributions.caliperM));
  const scatterM = scatterToUse(state.scatter, settings.gaugeUncertaintyM);
  const stretch = { from: line.from, to: line.to, cellCount: line.cellCount, scatterM };
  const stands = isNoLayer(line, settings);
  return {
    over: settings.over,
    layerThicknessM: known(layerM, layerUncertaintyM),
    airThicknessM: stands ? unknown(noGrowth(layerM)) : air,
    changeSinceM: stands ? unknown(noGrowth(layerM)) : changeSince(line, earlier, ratio),
    stretch,
    contributions,
    ...(stands
      ? { verdict: 'not-conclusive', because: noGrowth(layerM) }
      : airVerdict(air, contributions, { stretch, unrest: state.unrest }, settings)),
  };
}

function changeSince(line: SlopeOfStretch, earlier: SlopeOfStretch | null, ratio: number): Quantity {
  if (earlier === null) {
    return unknown(reason('no-stretch-before', 'there is no stretch yet to compare this one with'));
  }
  const change = line.slope - earlier.slope;
  return known(change, Math.hypot(line.noise, earlier.noise, ratio * change));
}

function calibrationRatio({ row }: WoundInAirState, settings: WoundInAirSettings): number {
  const [, position, excess] = row.blocks.at(-1) ?? [0, 0, 0];
  return settings.law.calibrationRatio({
    diameterM: settings.law.diameterM(excess + settings.caliperM * position),
    gaugeZeroM: settings.gaugeUncertaintyM,
    gaugeScaleRatio: settings.gaugeScaleRatio,
    lengthRatio: settings.lengthRatio,
  });
}

function nothingMeasured({ reach, recent }: WoundInAirState, { over }: WoundInAirSettings): WoundInAir {
  const because = whyNothing(reach.position, recent.length, over);
  return {
    over,
    layerThicknessM: unknown(because),
    airThicknessM: unknown(because),
    changeSinceM: unknown(because),
    stretch: null,
    contributions: null,
    verdict: 'not-conclusive',
    because,
  };
}

function whyNothing(position: number | null, readings: number, over: WoundInAir['over']): Reason {
  if (position === null) {
    const what = over === 'length' ? 'wound length' : 'wrap count';
    return reason('no-count', `no ${what} to hold the diameter against`, { over });
  }
  const text = 'too few diameter readings that lie on one line to tell how thick a layer is';
  return reason('too-few-readings', text, { readings });
}

function noGrowth(layerM: Known['value']): Reason {
  const text =
    'the diameter grows by less than half a caliper per layer: the gauge stands still, or caliper or length are wrong';
  return reason('diameter-does-not-grow', text, { layerThicknessM: layerM });
}
