import { known, type Quantity } from '@edge-margin/units';

/** The two faces that meet in the roll: the two sides of the web. */
export interface TwoFaces {
  /** Rms roughness of one side, m. */
  readonly first: Quantity;
  /** Rms roughness of the other side, m. */
  readonly second: Quantity;
  /** True where both were converted from the same kind of figure (two PPS values, two Ra values): the conversion then errs the same way for both. */
  readonly sameMethod: boolean;
}

/**
 * Combined rms roughness of two faces, m: `sigma = sqrt(Rq1^2 + Rq2^2)` (independent heights; Ducotey & Good 1999, Journal of Tribology 121, 618, abstract).
 *
 * Uncertainty to first order (JCGM 100:2008, 5.1.2 and 5.2.2): `c1 = Rq1/sigma`, `c2 = Rq2/sigma`; independent figures `sqrt((c1 u1)^2 + (c2 u2)^2)`, figures of the same
 * method `c1 u1 + c2 u2`. The second is right for converted figures: measuring both sides does not halve an error of the conversion.
 * @returns unknown where one of the two is.
 */
export function combinedRoughness({ first, second, sameMethod }: TwoFaces): Quantity {
  if (first.kind === 'unknown') return first;
  if (second.kind === 'unknown') return second;
  const sigmaM = Math.hypot(first.value, second.value);
  if (sigmaM === 0) return known(0, Math.hypot(first.uncertainty, second.uncertainty));
  const fromFirst = (first.value / sigmaM) * first.uncertainty;
  const fromSecond = (second.value / sigmaM) * second.uncertainty;
  return known(sigmaM, sameMethod ? fromFirst + fromSecond : Math.hypot(fromFirst, fromSecond));
}
