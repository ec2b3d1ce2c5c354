/** A part of the face under the nip: how wide it is, and how much its surface stands above the mean. */
export interface FacePart {
  readonly widthM: number;
  readonly heightM: number;
}

/** What a part of the face gets of the nip load. */
export interface PartLoad {
  readonly loadNPerM: number;
  readonly isTouched: boolean;
}

/**
 * How the nip load is shared between parts of unequal height: a straight roller on a linear cover, `q = k max(0, d + height)`,
 * the indentation d such that the whole is carried. Parts that are too low are not touched.
 */
export function partLoads(
  parts: readonly FacePart[],
  loadN: number,
  stiffnessNPerM2: number,
): readonly PartLoad[] {
  const tallest = [...parts].sort((a, b) => b.heightM - a.heightM);
  let widthM = 0;
  let momentM2 = 0;
  let indentationM = 0;
  for (const [i, part] of tallest.entries()) {
    widthM += part.widthM;
    momentM2 += part.widthM * part.heightM;
    indentationM = (loadN / stiffnessNPerM2 - momentM2) / widthM;
    const next = tallest[i + 1];
    if (next === undefined || indentationM + next.heightM <= 0) break;
  }
  return parts.map(({ heightM }) => {
    const pressedM = indentationM + heightM;
    return { loadNPerM: Math.max(0, stiffnessNPerM2 * pressedM), isTouched: pressedM > 0 };
  });
}
