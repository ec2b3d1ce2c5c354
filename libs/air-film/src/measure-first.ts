import { type Reason, reason } from '@edge-margin/units';
import type { AirInputName } from './air-inputs.js';
import { isModelPart, type UncertaintyContribution } from './uncertainty-contribution.js';
import { inWords } from './in-words.js';

const words: Readonly<Record<AirInputName, string>> = {
  rollDiameter: 'roll diameter',
  tension: 'tension',
  nipLoad: 'nip load',
  combinedRoughness: 'roughness',
  permeance: 'air permeance',
  width: 'width of the roll',
  coverModulus: 'modulus of the nip cover',
  nipRollerDiameter: 'diameter of the nip roller',
  viscosity: 'temperature of the air',
};

/**
 * What would make the critical speed surer, from the largest contributions to its uncertainty: rated rolls where the model is the largest, and of the inputs the
 * one to measure first.
 * @param contributions largest first; undefined is returned where there are none.
 */
export function measureFirst(contributions: readonly UncertaintyContribution[]): Reason | undefined {
  if (contributions.length === 0) return undefined;
  const ofModel = contributions
    .filter(({ source }) => isModelPart(source))
    .reduce((sum, { varianceShareRatio }) => sum + varianceShareRatio, 0);
  const input = contributions.find((each): each is InputContribution => !isModelPart(each.source));
  if (input !== undefined && input.varianceShareRatio > ofModel) {
    const { source, varianceShareRatio } = input;
    const share = inWords('ratio', varianceShareRatio, 'metric');
    const text = `measure the ${words[source]} first: it makes ${share} of the variance of the critical speed`;
    return reason('measure-first', text, { source, varianceShareRatio });
  }
  const share = inWords('ratio', ofModel, 'metric');
  const opening = `rated rolls of the grade help most: the model itself makes ${share} of the variance of the critical speed`;
  const params = { source: 'model', varianceShareRatio: ofModel };
  if (input === undefined) return reason('rate-rolls-first', opening, params);
  const text = `${opening}; of what is put in, measure the ${words[input.source]} first`;
  return reason('rate-rolls-first', text, { ...params, input: input.source });
}

type InputContribution = UncertaintyContribution & { readonly source: AirInputName };
