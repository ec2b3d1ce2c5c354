/**
 * How far a lane of the web falls behind the rest of the roll in radius, m, if it is thinner: `e D/4` (own derivation: caliper and radius grow in proportion,
 * from a core that is small against the roll). Pessimistic: the roll yields.
 * @param caliperSpreadRatio share e by which the lane is thinner, 0 to 1.
 * @param rollDiameterM m, > 0.
 */
export function laneGap(caliperSpreadRatio: number, rollDiameterM: number): number {
  return 0.25 * caliperSpreadRatio * rollDiameterM;
}

/**
 * Share of the width that a nip does not reach: the lanes that lie further back than the cover is pressed in.
 * @param gapsM how far each of equally wide lanes lies behind the highest, m ({@link laneGap}, or a measured roll profile); not empty.
 * @param indentationM how far the cover is pressed in, m, >= 0.
 * @returns 0 to 1.
 */
export function uncoveredByLanes(gapsM: readonly number[], indentationM: number): number {
  if (gapsM.length === 0) throw new RangeError('gapsM: at least one lane is needed, got none');
  return gapsM.filter((gapM) => gapM > indentationM).length / gapsM.length;
}

/**
 * Share of the width that a bent nip roller does not reach: `sqrt(1 - d/f)` in the middle, for a roller that is bent by f in the shape of a parabola and
 * rests on its ends with an indentation d (own derivation). 0 where the cover is pressed in by more than the roller is bent.
 * @param deflectionM deflection in the middle against the ends, m, >= 0.
 * @param indentationM how far the cover is pressed in, m, >= 0.
 */
export function uncoveredByDeflection(deflectionM: number, indentationM: number): number {
  if (deflectionM <= indentationM) return 0;
  return Math.sqrt(1 - indentationM / deflectionM);
}
