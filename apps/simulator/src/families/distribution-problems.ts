import type { Found, Path } from '../scenario/machine-problems.js';
import { told } from '../scenario/read-scenario.js';
import { type Distribution, DISTRIBUTION_WORDS, distributionSchema } from './distribution-schema.js';

/** Whether a part of a family is a distribution, right or wrong. */
export function isDistribution(tree: unknown): tree is Readonly<Record<string, unknown>> {
  return isSection(tree) && Object.keys(tree).some((key) => DISTRIBUTION_WORDS.includes(key));
}

export function isSection(tree: unknown): tree is Readonly<Record<string, unknown>> {
  return typeof tree === 'object' && tree !== null && !Array.isArray(tree);
}

/**
 * What is wrong with the distributions of a family, wherever they stand.
 * @param draws names under `draws`
 */
export function distributionProblems(tree: unknown, draws: readonly string[], path: Path): readonly Found[] {
  if (isDistribution(tree)) {
    const parsed = distributionSchema.safeParse(tree);
    const own = parsed.success ? impossible(parsed.data, draws) : parsed.error.issues.flatMap(told);
    const options = 'choice' in tree ? partProblems(tree['choice'], draws, [...path, 'choice']) : [];
    return [...own.map((one) => ({ path: [...path, ...one.path], text: one.text })), ...options];
  }
  return partProblems(tree, draws, path);
}

function partProblems(tree: unknown, draws: readonly string[], path: Path): readonly Found[] {
  if (Array.isArray(tree))
    return tree.flatMap((part: unknown, i) => distributionProblems(part, draws, [...path, i]));
  if (!isSection(tree)) return [];
  return Object.entries(tree).flatMap(([key, part]) => distributionProblems(part, draws, [...path, key]));
}

function impossible(one: Distribution, draws: readonly string[]): readonly Found[] {
  if ('uniform' in one) return wrongWay(one.uniform, 'uniform');
  if ('wholeNumber' in one) return wrongWay(one.wholeNumber, 'wholeNumber');
  if ('logUniform' in one)
    return [...wrongWay(one.logUniform, 'logUniform'), ...notAbove0(one.logUniform[0], ['logUniform', 0])];
  if ('lognormal' in one) return notAbove0(one.lognormal.median, ['lognormal', 'median']);
  if ('choice' in one) return wrongWeights(one.choice.length, one.weights);
  if ('drawn' in one && !draws.includes(one.drawn))
    return [{ path: ['drawn'], text: `no "${one.drawn}" under draws` }];
  return [];
}

function wrongWay([low, high]: readonly [number, number], key: string): readonly Found[] {
  return low <= high ? [] : [{ path: [key], text: `the lower end first, got ${low} before ${high}` }];
}

function notAbove0(value: number, path: Path): readonly Found[] {
  return value > 0 ? [] : [{ path, text: `above 0, got ${value}` }];
}

function wrongWeights(options: number, weights: readonly number[] | undefined): readonly Found[] {
  if (weights === undefined) return [];
  if (weights.length !== options)
    return [{ path: ['weights'], text: `one for each choice, ${options}, got ${weights.length}` }];
  const sum = weights.reduce((a, b) => a + b, 0);
  return sum > 0 ? [] : [{ path: ['weights'], text: 'one at least above 0' }];
}
