/** Leftmost and rightmost edge within one row of the picture. */
export interface EnvelopeRow {
  readonly radiusM: number;
  readonly leastM: number;
  readonly mostM: number;
}

/**
 * The extent of an edge in `rows` equal steps of radius; steps without a wrap are left out.
 * @param edge radius and place of each wrap, m
 */
export function edgeEnvelope(
  edge: readonly { readonly radiusM: number; readonly placeM: number }[],
  { innerM, outerM, rows }: { readonly innerM: number; readonly outerM: number; readonly rows: number },
): readonly EnvelopeRow[] {
  const stepM = (outerM - innerM) / rows;
  const least = new Array<number>(rows).fill(Infinity);
  const most = new Array<number>(rows).fill(-Infinity);
  for (const { radiusM, placeM } of edge) {
    const row = Math.min(rows - 1, Math.max(0, Math.floor((radiusM - innerM) / stepM)));
    least[row] = Math.min(least[row] as number, placeM);
    most[row] = Math.max(most[row] as number, placeM);
  }
  return least.flatMap((leastM, row) =>
    leastM === Infinity
      ? []
      : [{ radiusM: innerM + (row + 0.5) * stepM, leastM, mostM: most[row] as number }],
  );
}
