import type { Known } from '@edge-margin/units';
import { known } from '@edge-margin/units';
import type { TypicalGrade } from './typical-grades.js';
import { typicalValue } from './typical-range.js';

/**
 * Combined roughness to start with for a typical grade, m: `sqrt(Rq1^2 + Rq2^2)` of the two sides, or for film, where peaks are given, `sqrt(2)/3` of their height.
 *
 * The two sides of one web are rough together, so their uncertainties add. See `combinedRoughness` and `peakRoughnessFromRz` for the sources.
 */
export function typicalCombinedRoughness(grade: TypicalGrade): Known {
  const [first, second] =
    grade.peakHeightM === undefined
      ? [typicalValue(grade.roughnessM[0]), typicalValue(grade.roughnessM[1])]
      : [thirdOf(grade.peakHeightM), thirdOf(grade.peakHeightM)];
  const sigmaM = Math.hypot(first.value, second.value);
  return known(sigmaM, (first.value * first.uncertainty + second.value * second.uncertainty) / sigmaM);
}

function thirdOf(peakHeightM: NonNullable<TypicalGrade['peakHeightM']>): Known {
  const { value, uncertainty } = typicalValue(peakHeightM);
  return known(value / 3, uncertainty / 3);
}
