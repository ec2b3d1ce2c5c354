import type { Quantity } from '@edge-margin/units';
import { type Conversion, convertFigure } from './conversion.js';
import { rmsRoughnessFromRa } from './roughness-from-ra.js';

/** PPS over Ra. */
const ppsOverRa = 2.13;

export const ppsConversion: Conversion = {
  figure: 'PPS roughness',
  quantity: 'roughness',
  unit: 'm',
  goodFor: { low: 0.5e-6, high: 8e-6 },
  uncertaintyRatio: 0.25,
  readableFor: { low: 0.2e-6, high: 15e-6 },
  wideUncertaintyRatio: 0.4,
  source:
    "Enomae & Onabe 1997, Sen'i Gakkaishi 53(3), 86: PPS = 2.13 Ra on handsheets, cut-off 234 um; range of printing papers and uncertainties: own estimates",
};

/**
 * Average roughness Ra of one face from its PPS roughness, m: `Ra = PPS/2.13` (Enomae & Onabe 1997, handsheets, cut-off 234 um).
 *
 * PPS is an air gap under a pressed ring, Ra a profile of the unpressed face: the ratio depends on paper and backing. 25 % for 0.5 to 8 um, 40 % outside, unknown
 * below 0.2 and above 15 um. Not for film or foil, whose faces do not follow the ring.
 * @param ppsM PPS roughness, m (not um), > 0.
 * @param readingUncertaintyRatio relative standard uncertainty of the reading, 0 to 2.
 * @throws RangeError if the roughness is not finite or not above 0.
 */
export function averageRoughnessFromPps(ppsM: number, readingUncertaintyRatio = 0): Quantity {
  return convertFigure(
    ppsConversion,
    { name: 'ppsM', value: ppsM, readingUncertaintyRatio },
    (pps) => pps / ppsOverRa,
  );
}

/**
 * Rms roughness Rq of one face from its PPS roughness, m: {@link averageRoughnessFromPps}, then {@link rmsRoughnessFromRa}; together Rq = 0.59 PPS.
 * @param ppsM PPS roughness, m (not um), > 0.
 * @param readingUncertaintyRatio relative standard uncertainty of the reading, 0 to 2.
 * @throws RangeError if the roughness is not finite or not above 0.
 */
export function rmsRoughnessFromPps(ppsM: number, readingUncertaintyRatio = 0): Quantity {
  const average = averageRoughnessFromPps(ppsM, readingUncertaintyRatio);
  if (average.kind === 'unknown') return average;
  return rmsRoughnessFromRa(average.value, average.uncertainty / average.value);
}
