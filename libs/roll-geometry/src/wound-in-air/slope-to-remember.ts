import { leastReadings } from './chosen-stretch.js';
import type { ExcessLine, SlopeOfStretch } from './excess-line.js';
import type { WoundInAirSettings } from './wound-in-air-settings.js';

/** What of a stretch that ended is kept to compare the next one with; null where it was too short or no layer can be that thin. */
export function slopeToRemember(line: ExcessLine, settings: WoundInAirSettings): SlopeOfStretch | null {
  if (line.cellCount < leastReadings || isNoLayer(line, settings)) return null;
  const { slope, noise, from, to, cellCount } = line;
  return { slope, noise, from, to, cellCount };
}

/** No web is pressed to less than this share of its caliper. Own assumption. */
const leastLayerPerCaliper = 0.5;

/** Whether the diameter surely grows by less than any web would make it: a gauge that stands still, a wrong caliper. */
export function isNoLayer({ slope, noise }: SlopeOfStretch, { caliperM }: WoundInAirSettings): boolean {
  return caliperM + slope + 2 * noise < leastLayerPerCaliper * caliperM;
}
