import type { PointNumberKey } from './point-numbers.js';

/** An input whose uncertainty is followed. */
export interface AirInput {
  readonly key: PointNumberKey;
  /** The same for all rolls of a grade at a station: rated rolls have absorbed it into the calibration. */
  readonly commonToGrade: boolean;
}

export const airInputs = {
  rollDiameter: { key: 'rollDiameterM', commonToGrade: false },
  tension: { key: 'tensionNPerM', commonToGrade: false },
  nipLoad: { key: 'nipLoadNPerM', commonToGrade: false },
  combinedRoughness: { key: 'combinedRoughnessM', commonToGrade: true },
  permeance: { key: 'permeanceMPerPaS', commonToGrade: true },
  width: { key: 'widthM', commonToGrade: false },
  coverModulus: { key: 'coverModulusPa', commonToGrade: true },
  nipRollerDiameter: { key: 'nipRollerDiameterM', commonToGrade: true },
  viscosity: { key: 'viscosityPaS', commonToGrade: false },
} as const satisfies Record<string, AirInput>;

export type AirInputName = keyof typeof airInputs;

export const airInputNames = Object.keys(airInputs) as readonly AirInputName[];

/** d ln(result)/d ln(input) for each input. */
export type Sensitivities = Readonly<Record<AirInputName, number>>;

/** Relative standard uncertainties (JCGM 100:2008, 5.1) of what was put in; what is left out counts as exact. */
export type InputUncertainties = {
  readonly [Name in `${AirInputName | 'speed'}Ratio`]?: number;
};

/** Where the uncertainty of each input stands in {@link InputUncertainties}. */
const ratioKeys = Object.fromEntries(airInputNames.map((name) => [name, `${name}Ratio`])) as {
  readonly [Name in AirInputName]: `${Name}Ratio`;
};

/** Relative standard uncertainty of an input; 0 where it counts as exact. */
export function uncertaintyOf(inputs: InputUncertainties, name: AirInputName): number {
  return inputs[ratioKeys[name]] ?? 0;
}
