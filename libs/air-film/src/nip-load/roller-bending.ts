import { type DisplaySystem, reason } from '@edge-margin/units';
import { inRange } from '../in-range.js';
import { smallLengthInWords } from '../in-words.js';
import { shareBelowProfile } from './share-not-pressed.js';
import { inPercent, type WoundWithoutNip } from './wound-without-nip.js';

/** Tube of a nip roller. */
export interface RollerTube {
  readonly outerDiameterM: number;
  /** 0 for a solid roller. */
  readonly innerDiameterM: number;
  /** Young's modulus of the tube, Pa: 206e9 for steel (handbook). */
  readonly modulusPa: number;
}

/**
 * Bending stiffness of a tube, N m2: `E I = E pi (D^4 - d^4)/64` (textbook mechanics of materials). The cover adds nothing worth counting.
 * @throws RangeError if a dimension makes no sense.
 */
export function tubeBendingStiffness({ outerDiameterM, innerDiameterM, modulusPa }: RollerTube): number {
  inRange({ name: 'outerDiameterM', value: outerDiameterM, unit: 'm', low: 5e-3, high: 3 });
  inRange({ name: 'innerDiameterM', value: innerDiameterM, unit: 'm', low: 0, high: 0.999 * outerDiameterM });
  inRange({ name: 'modulusPa', value: modulusPa, unit: 'Pa', low: 1e8, high: 1e12 });
  return (modulusPa * Math.PI * (outerDiameterM ** 4 - innerDiameterM ** 4)) / 64;
}

/** A nip roller on two bearings under an even load. */
export interface LoadedRoller {
  /** Nip load per contact width, N/m. */
  readonly loadNPerM: number;
  /** Width of web under the nip, in the middle between the bearings, m. */
  readonly contactWidthM: number;
  /** Distance of the bearings, m, at least the contact width. */
  readonly bearingSpanM: number;
  /** E I of the roller, N m2, see {@link tubeBendingStiffness}. */
  readonly bendingStiffnessNM2: number;
  /** Part of the roller's own weight that bends it towards the roll, N per m of contact width; 0 if left out. */
  readonly weightTowardsRollNPerM?: number;
  /** Crown: how much larger the radius of the roller is in the middle of the contact than at its ends, m; 0 if left out. */
  readonly crownM?: number;
  /** Units of the sentence; metric if left out. */
  readonly display?: DisplaySystem;
}

/**
 * How far the middle of the roller bends away from the roll against the ends of the contact, m; negative where its weight wins.
 *
 * Beam on two supports L apart under an even load over the width b in the middle: `w b^3 (12 L - 7 b)/(384 E I)`; with b = L `5 w L^4/(384 E I)` (textbook mechanics of materials). Shear is left out: right for spans above
 * some five diameters.
 * @throws RangeError if a dimension makes no sense.
 */
export function rollerDeflection(roller: LoadedRoller): number {
  const { contactWidthM: b, bearingSpanM: span } = checked(roller);
  return (netLoad(roller) * b ** 3 * (12 * span - 7 * b)) / (384 * roller.bendingStiffnessNM2);
}

/**
 * Share of the width wound without nip because the roller bends away from the roll, the middle first.
 *
 * Deflection between middle and place x: `w/(8 E I) ((2 b L - b^2) x^2/2 - x^4/3)` (from the bending moment `w (2 b L - b^2 - 4 x^2)/8`), less a parabolic crown; see {@link shareBelowProfile}. Pessimistic: the load counts as even,
 * but a bent roller presses less in the middle and so bends less.
 * @param indentationM indentation of the cover by this load on an even roll, m.
 * @throws RangeError if a dimension makes no sense.
 */
export function unpressedByBending(roller: LoadedRoller, indentationM: number): WoundWithoutNip {
  const { contactWidthM: b, bearingSpanM: span, crownM = 0, display: system = 'metric' } = checked(roller);
  const factor = netLoad(roller) / (8 * roller.bendingStiffnessNM2);
  const atEndM = rollerDeflection(roller);
  const gapsM = Array.from({ length: stripCount }, (_, i) => {
    const x = ((i + 0.5) / stripCount) * (b / 2);
    const fallM = factor * ((2 * b * span - b * b) * (x * x) * 0.5 - x ** 4 / 3);
    return atEndM - fallM - crownM * (1 - ((2 * x) / b) ** 2);
  });
  const ratio = shareBelowProfile(gapsM, indentationM);
  if (ratio === 0) return { of: 'width', ratio };
  const gapM = Math.max(...gapsM) - Math.min(...gapsM);
  const text = `the roller bends by ${smallLengthInWords(gapM, system)}, the nip indents by ${smallLengthInWords(indentationM, system)}: ${inPercent(ratio)} of the width is not pressed`;
  return { of: 'width', ratio, because: reason('roller-bends', text, { ratio, gapM, indentationM }) };
}

/** Strips over half the contact, with straight lines between them. */
const stripCount = 120;

function netLoad({ loadNPerM, weightTowardsRollNPerM = 0 }: LoadedRoller): number {
  return loadNPerM - weightTowardsRollNPerM;
}

function checked(roller: LoadedRoller): LoadedRoller {
  const { contactWidthM, bearingSpanM, weightTowardsRollNPerM = 0, crownM = 0 } = roller;
  inRange({ name: 'loadNPerM', value: roller.loadNPerM, unit: 'N/m', low: 0, high: 1e6 });
  inRange({ name: 'contactWidthM', value: contactWidthM, unit: 'm', low: 1e-3, high: 20 });
  inRange({ name: 'bearingSpanM', value: bearingSpanM, unit: 'm', low: contactWidthM, high: 25 });
  inRange({
    name: 'bendingStiffnessNM2',
    value: roller.bendingStiffnessNM2,
    unit: 'N m2',
    low: 1,
    high: 1e13,
  });
  inRange({
    name: 'weightTowardsRollNPerM',
    value: weightTowardsRollNPerM,
    unit: 'N/m',
    low: -1e5,
    high: 1e5,
  });
  inRange({ name: 'crownM', value: crownM, unit: 'm', low: -0.01, high: 0.01 });
  return roller;
}
