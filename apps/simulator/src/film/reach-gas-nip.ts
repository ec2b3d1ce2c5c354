import { power } from '../math/portable-math.js';
import { type GasNipProblem, type GasNipSolution, solveGasNip } from './gas-nip-solution.js';

/** A nip from which the dry contact's pressure is a good enough guess. */
const EASY: GasNipProblem = { speedNumber: 0.004, pressureNumber: 3, slipNumber: 0 };

/**
 * Solution of a nip reached from one already solved by walking between the two in as many steps as the iteration needs
 * (each solution is the next one's guess; a step that fails is halved).
 * @throws RangeError if even steps of 1/256 of the way fail
 */
export function reachGasNip(problem: GasNipProblem, intervals = 240, from?: SolvedNip): GasNipSolution {
  let at = from ?? { problem: EASY, solution: solveGasNip(EASY, undefined, intervals) };
  let gone = 0;
  let step = 1;
  while (gone < 1) {
    const next = Math.min(1, gone + step);
    const tried = next === 1 ? problem : partWay(at.problem, problem, (next - gone) / (1 - gone));
    const solution = attempt(tried, at.solution, intervals);
    if (solution === null) {
      step /= 2;
      if (step < 1 / 256) throw new RangeError(`speedNumber: no way to the nip ${JSON.stringify(problem)}`);
    } else {
      at = { problem: tried, solution };
      gone = next;
      step *= 1.5;
    }
  }
  return at.solution;
}

export interface SolvedNip {
  readonly problem: GasNipProblem;
  readonly solution: GasNipSolution;
}

function attempt(problem: GasNipProblem, guess: GasNipSolution, intervals: number): GasNipSolution | null {
  try {
    return solveGasNip(problem, guess, intervals);
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

function partWay(a: GasNipProblem, b: GasNipProblem, share: number): GasNipProblem {
  return {
    speedNumber: a.speedNumber * power(b.speedNumber / a.speedNumber, share),
    pressureNumber: a.pressureNumber * power(b.pressureNumber / a.pressureNumber, share),
    slipNumber: a.slipNumber + (b.slipNumber - a.slipNumber) * share,
  };
}
