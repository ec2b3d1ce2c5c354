import type { BandTruth } from '../truth/truth-record.js';
import type { End } from '../winder/ends.js';

/** Narrow rough zones of one edge. */
export interface Ring {
  readonly radiusM: number;
  /** Roughness of its roughest band, m. */
  readonly roughnessM: number;
}

/**
 * Rings that a sharp eye could see: runs of neighbouring bands above `visibleM`, no wider than `widestM`; their radius is
 * the mean over the bands, weighted by how far each stands out. Resolution: the width of a band of the truth.
 */
export function trueRings(
  bands: readonly BandTruth[],
  end: End,
  { visibleM, widestM }: { readonly visibleM: number; readonly widestM: number },
): readonly Ring[] {
  return runsAbove(bands, end, visibleM)
    .filter((run) => (run.at(-1)?.outerRadiusM ?? 0) - (run[0]?.innerRadiusM ?? 0) <= widestM * (1 + 1e-9))
    .map((run) => ringOf(run, end));
}

function runsAbove(bands: readonly BandTruth[], end: End, visibleM: number): readonly BandTruth[][] {
  const runs: BandTruth[][] = [];
  let isInside = false;
  for (const band of bands) {
    const isVisible = band.edgeRmsM[end] > visibleM;
    if (isVisible && isInside) runs.at(-1)?.push(band);
    else if (isVisible) runs.push([band]);
    isInside = isVisible;
  }
  return runs;
}

function ringOf(run: readonly BandTruth[], end: End): Ring {
  const weight = run.reduce((sum, band) => sum + band.edgeRmsM[end], 0);
  const moment = run.reduce(
    (sum, band) => sum + (band.edgeRmsM[end] * (band.innerRadiusM + band.outerRadiusM)) / 2,
    0,
  );
  return { radiusM: moment / weight, roughnessM: Math.max(...run.map((band) => band.edgeRmsM[end])) };
}
