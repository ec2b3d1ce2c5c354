import type { AirTerms } from './air-terms.js';
import { bracketedRoot } from './bracketed-root.js';
import { netTension } from './net-tension.js';
import { filmAfterTurns, ventingPerTurn } from './stack-venting.js';

/** No roll has more wraps. */
const mostWraps = 1e7;

/**
 * Number of outer wraps that keep a film above the boundary film in the steady state, as a real number; 0 where the film as laid
 * down is not above it.
 *
 * The number of turns after which a wrap has sunk to the boundary film ({@link filmAfterTurns}). Without compression and with an airtight web:
 * `k (k + 1) = mu w^2 V/(2 pi T) (1/hc^2 - 1/h^2)`. Never more than 1e7.
 * @param speedMPerS m/s, > 0.
 */
export function floatingWraps(terms: AirTerms, speedMPerS: number, woundInFilmM: number): number {
  if (woundInFilmM <= terms.boundaryFilmM) return 0;
  const perTurn = ventingPerTurn(terms, speedMPerS, netTension(terms, speedMPerS));
  const excess = (turns: number) =>
    Math.log(Math.max(0, filmAfterTurns(perTurn, woundInFilmM, turns)) / terms.boundaryFilmM);
  // Compression alone, in a sealed stack, brings the film to the boundary within this many wraps.
  const sealedWraps = 3 + ((woundInFilmM / terms.boundaryFilmM - 1) * (1 + 3 * perTurn.tau)) / perTurn.tau;
  const most = Math.min(1.001 * sealedWraps, mostWraps);
  if (excess(most) > 0) return most;
  let low = 1e-3;
  while (excess(low) < 0) low *= 1e-3;
  return Math.exp(
    bracketedRoot((logarithm) => excess(Math.exp(logarithm)), Math.log(low), Math.log(most), 1e-9),
  );
}
