import { type FinishedRoll } from '../people/finished-roll.js';
import { ENDS } from '../winder/ends.js';
import type { RollEdges, RoughStretch } from './roll-edges.js';

/**
 * What the picture of a finished roll shows, out of the truth: the laid edges, and the bands rougher than `roughEdgeM`.
 * A scenario whose truth tells no edges (`edgesEveryWraps: 0`) gives a picture without them.
 */
export function rollEdgesOf({ roll, bands, edges }: FinishedRoll, roughEdgeM: number): RollEdges {
  const strip = roll.strip === undefined ? '' : `, strip ${roll.strip + 1} from the tending side`;
  const wraps = edges.flatMap((part) =>
    part.radiusM.map((radiusM, i) => ({
      radiusM,
      tendingM: part.tendingM[i] ?? 0,
      driveM: part.driveM[i] ?? 0,
    })),
  );
  const rough = ENDS.flatMap((end): readonly RoughStretch[] =>
    bands
      .filter((band) => band.edgeRmsM[end] > roughEdgeM)
      .map(({ innerRadiusM, outerRadiusM }) => ({ end, innerRadiusM, outerRadiusM })),
  );
  return {
    title: `${roll.winder} ${roll.station}, roll ${roll.roll}${strip}`,
    coreRadiusM: roll.coreDiameterM / 2,
    outerRadiusM: roll.diameterM / 2,
    wraps,
    rough,
  };
}
