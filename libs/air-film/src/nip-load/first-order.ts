import { type Known, known, type Quantity } from '@edge-margin/units';

/**
 * A result of uncertain inputs with its standard uncertainty to first order: each input is moved by its own uncertainty, one after the other, and the
 * half-changes are added in quadrature (JCGM 100:2008, 5.1.2 and the note to 5.1.3 on evaluating the change numerically). Inputs count as independent.
 * @param evaluate smooth over the uncertainties.
 * @param inputs any number; the first unknown one is the answer.
 */
export function firstOrder(
  evaluate: (...values: readonly number[]) => number,
  inputs: readonly Quantity[],
): Quantity {
  const knowns: Known[] = [];
  for (const input of inputs) {
    if (input.kind === 'unknown') return input;
    knowns.push(input);
  }
  const values = knowns.map(({ value }) => value);
  const changes = knowns.map(({ value, uncertainty }, i) => {
    if (uncertainty === 0) return 0;
    const above = evaluate(...values.with(i, value + uncertainty));
    return (above - evaluate(...values.with(i, value - uncertainty))) / 2;
  });
  return known(evaluate(...values), Math.hypot(...changes));
}
