import { type Reason, reason } from '@edge-margin/units';
import type { AirInputName } from './air-inputs.js';
import type { UncertaintyContribution } from './uncertainty-contribution.js';
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
  const [largest] = contributions;
  if (largest === undefined) return undefined;
  const share = inWords('ratio', largest.varianceShareRatio);
  const params = { source: largest.source, varianceShareRatio: largest.varianceShareRatio };
  if (largest.source !== 'model') {
    const text = `measure the ${words[largest.source]} first: it makes ${share} of the variance of the critical speed`;
    return reason('measure-first', text, params);
  }
  const opening = `rated rolls of the grade help most: the model itself makes ${share} of the variance of the critical speed`;
  const input = contributions.map(({ source }) => source).find((source) => source !== 'model');
  if (input === undefined) return reason('rate-rolls-first', opening, params);
  const text = `${opening}; of what is put in, measure the ${words[input]} first`;
  return reason('rate-rolls-first', text, { ...params, input });
}
