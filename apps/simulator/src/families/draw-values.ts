import { exponential, naturalLog } from '../math/portable-math.js';
import { type RandomStream, resumeStream } from '../random/random-stream.js';
import { seedStream } from '../random/seed-stream.js';
import { isDistribution, isSection } from './distribution-problems.js';
import { type Distribution, distributionSchema } from './distribution-schema.js';

/**
 * A tree in which every distribution has become a value. Each draws from a stream named after its place in the file, so
 * that a value added somewhere changes no other.
 * @param tree without problems (see `distributionProblems`)
 * @param draws values that several places share, by name
 */
export function drawValues(
  tree: unknown,
  at: { readonly seed: number; readonly draws: Readonly<Record<string, unknown>>; readonly path: string },
): unknown {
  const inside = (part: unknown, step: string): unknown =>
    drawValues(part, { ...at, path: `${at.path}/${step}` });
  if (isDistribution(tree)) {
    const stream = resumeStream(seedStream(at.seed, `family${at.path}`));
    return inside(drawOne(distributionSchema.parse(tree), stream, at.draws), 'taken');
  }
  if (Array.isArray(tree)) return tree.map((part: unknown, i) => inside(part, String(i)));
  if (!isSection(tree)) return tree;
  return Object.fromEntries(Object.entries(tree).map(([key, part]) => [key, inside(part, key)]));
}

function drawOne(one: Distribution, stream: RandomStream, draws: Readonly<Record<string, unknown>>): unknown {
  if ('choice' in one) return one.choice[chosen(one.weights ?? one.choice.map(() => 1), stream.uniform())];
  if ('drawn' in one) {
    const value = draws[one.drawn];
    return typeof value === 'number' ? rounded(value * one.times) : value;
  }
  return rounded(drawNumber(one, stream));
}

type Numeric = Exclude<Distribution, { readonly choice: unknown } | { readonly drawn: unknown }>;

function drawNumber(one: Numeric, stream: RandomStream): number {
  if ('uniform' in one) return between(one.uniform, stream.uniform());
  if ('wholeNumber' in one) {
    const [low, high] = one.wholeNumber;
    return Math.min(high, low + Math.floor(stream.uniform() * (high - low + 1)));
  }
  if ('logUniform' in one) {
    const [low, high] = one.logUniform;
    return exponential(between([naturalLog(low), naturalLog(high)], stream.uniform()));
  }
  if ('normal' in one) return cut(one.normal.mean + one.normal.spread * stream.normal(), one.normal);
  return cut(one.lognormal.median * exponential(one.lognormal.spread * stream.normal()), one.lognormal);
}

function between([low, high]: readonly [number, number], share: number): number {
  return low + (high - low) * share;
}

function cut(
  value: number,
  {
    low = -Infinity,
    high = Infinity,
  }: { readonly low?: number | undefined; readonly high?: number | undefined },
): number {
  return Math.min(high, Math.max(low, value));
}

function chosen(weights: readonly number[], share: number): number {
  let left = share * weights.reduce((a, b) => a + b, 0);
  const index = weights.findIndex((weight) => (left -= weight) < 0);
  return index < 0 ? weights.length - 1 : index;
}

/** Nine digits: more would only make the scenario hard to read. */
function rounded(value: number): number {
  return Number(value.toPrecision(9));
}
