import { reason } from '@edge-margin/units';
import { inRange } from '../in-range.js';
import { smallLengthInWords } from '../in-words.js';
import { gapRange, type NipStrip, shareNotPressed } from './share-not-pressed.js';
import { inPercent, type WoundWithoutNip } from './wound-without-nip.js';

/** A lane of the web, side by side with others. */
export interface CaliperLane {
  /** Share of the width, > 0. */
  readonly widthRatio: number;
  /** Caliper over the mean caliper of the width, less 1: -0.005 = half a per cent thinner. */
  readonly caliperDeviationRatio: number;
}

/** A roll of a web whose caliper differs across its width. */
export interface LanedRoll {
  readonly lanes: readonly CaliperLane[];
  readonly rollDiameterM: number;
  /** 0 if left out. */
  readonly coreDiameterM?: number;
  /** Indentation of the cover by this load on an even roll, m. */
  readonly indentationM: number;
}

/**
 * Share of the width wound without nip because thin lanes have fallen behind.
 *
 * Every turn of a lane that is thinner by the share e adds less, so the lane falls behind in radius by `e (D^2 - d^2)/(4 D)`, with a small core `e D/4` (own derivation from equal wound length). Pessimistic: a real roll
 * gives way, and tension leaves the slack lane. See {@link shareNotPressed}.
 * @throws RangeError if a lane or dimension makes no sense.
 */
export function unpressedLanes({
  lanes,
  rollDiameterM,
  coreDiameterM = 0,
  indentationM,
}: LanedRoll): WoundWithoutNip {
  inRange({
    name: 'rollDiameterM',
    value: rollDiameterM,
    unit: 'm',
    low: Math.max(1e-3, coreDiameterM),
    high: 5,
  });
  inRange({ name: 'coreDiameterM', value: coreDiameterM, unit: 'm', low: 0, high: 2 });
  const lead = (rollDiameterM ** 2 - coreDiameterM ** 2) / (4 * rollDiameterM);
  const strips = lanes.map(({ widthRatio, caliperDeviationRatio: deviation }) => {
    inRange({ name: 'caliperDeviationRatio', value: deviation, unit: '1', low: -0.5, high: 0.5 });
    return { widthRatio, gapM: -deviation * lead };
  });
  return ofUnevenStrips(strips, indentationM, 'lane-below-nip', 'lane of the roll');
}

/** One of several rolls side by side under one nip roller. */
export interface RollUnderNip {
  readonly widthM: number;
  readonly diameterM: number;
}

/**
 * Share of the width wound without nip because rolls side by side under one straight nip roller have unlike diameters: a smaller one lies lower by half the difference. See {@link shareNotPressed}.
 * @throws RangeError if a roll makes no sense.
 */
export function unpressedRolls(rolls: readonly RollUnderNip[], indentationM: number): WoundWithoutNip {
  const strips = rolls.map(({ widthM, diameterM }) => {
    inRange({ name: 'widthM', value: widthM, unit: 'm', low: 1e-3, high: 20 });
    inRange({ name: 'diameterM', value: diameterM, unit: 'm', low: 1e-3, high: 5 });
    return { widthRatio: widthM, gapM: -diameterM / 2 };
  });
  return ofUnevenStrips(strips, indentationM, 'roll-below-nip', 'of the rolls');
}

function ofUnevenStrips(
  strips: readonly NipStrip[],
  indentationM: number,
  code: string,
  what: string,
): WoundWithoutNip {
  const ratio = shareNotPressed(strips, indentationM);
  if (ratio === 0) return { of: 'width', ratio };
  const gapM = gapRange(strips);
  const text = `the lowest ${what} lies ${smallLengthInWords(gapM, 'metric')} below the highest, the nip indents by ${smallLengthInWords(indentationM, 'metric')}: ${inPercent(ratio)} of the width is not pressed`;
  return { of: 'width', ratio, because: reason(code, text, { ratio, gapM, indentationM }) };
}
