/**
 * Writes `nip-film-table.ts` anew: about a thousand solutions of `gas-nip-solution.ts`, some minutes.
 * Run: `tsc -b apps/simulator && node apps/simulator/dist/film/tabulate.js > apps/simulator/src/film/nip-film-table.ts`
 */
import { exponential } from '../math/portable-math.js';
import type { GasNipProblem } from './gas-nip-solution.js';
import { reachGasNip, type SolvedNip } from './reach-gas-nip.js';
import { LN_PRESSURE_AXIS, LN_SPEED_AXIS, SLIP_AXIS } from './table-axes.js';

const INTERVALS = 280;

function solved(problem: GasNipProblem, from: SolvedNip | undefined): SolvedNip {
  return { problem, solution: reachGasNip(problem, INTERVALS, from) };
}

/** Kept-film numbers along the speed axis, from its middle outwards. */
function line(lnPressure: number, slipNumber: number): readonly number[] {
  const problemAt = (i: number): GasNipProblem => ({
    speedNumber: exponential(LN_SPEED_AXIS[i] as number),
    pressureNumber: exponential(lnPressure),
    slipNumber,
  });
  const middle = 8;
  const kept: number[] = [];
  const start = solved(problemAt(middle), undefined);
  kept[middle] = start.solution.keptNumber;
  for (const direction of [1, -1]) {
    let at = start;
    for (let i = middle + direction; i >= 0 && i < LN_SPEED_AXIS.length; i += direction) {
      at = solved(problemAt(i), at);
      kept[i] = at.solution.keptNumber;
    }
  }
  return kept;
}

const lines = SLIP_AXIS.flatMap((slip) => LN_PRESSURE_AXIS.map((lnPressure) => line(lnPressure, slip)));
process.stdout.write(`/**
 * Own numerical solution (written by \`tabulate.ts\`, do not edit): air kept by a nip, as thickness at ambient pressure
 * over \`speedNumber^0.6 b^2/R\`. One line per slip number and, within it, pressure number; along each line the speed number.
 */
// prettier-ignore
export const KEPT_FILM: readonly (readonly number[])[] = [
${lines.map((l) => `  [${l.map((v) => v.toPrecision(6)).join(', ')}],`).join('\n')}
];
`);
