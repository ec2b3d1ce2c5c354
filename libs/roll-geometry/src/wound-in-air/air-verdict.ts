import { type Known, type Reason, display, fromSi, reason } from '@edge-margin/units';
import type { WoundInAirSettings } from './wound-in-air-settings.js';
import type { AirContributions, WoundInAir } from './wound-in-air-types.js';
import { leastReadings } from './chosen-stretch.js';

type Stretch = NonNullable<WoundInAir['stretch']>;

/** Standard uncertainties that must fit into the film to be seen: about 95 % (JCGM 100:2008, 6.3.3). */
const coverage = 2;
/** A film larger than expected counts as seen from this many standard uncertainties on, so that noise alone is not taken for it. Own choice. */
const surely = 5;

/** A stretch that ended as often as this lately (each end fading over 200 cells) does not tell air from a wandering gauge. Own choice. */
const restless = 3;

/**
 * Whether the measurement tells a film of the size that is to be seen from none; if not, what accuracy it would take.
 * Conclusive: `2 u <= film to see`, or the measured air is at least `5 u`. Air below `-2 u` is no air: the caliper is wrong, or the web is pressed.
 */
export function airVerdict(
  airM: Known,
  contributions: AirContributions,
  { stretch, unrest }: { readonly stretch: Stretch; readonly unrest: number },
  settings: WoundInAirSettings,
): Pick<WoundInAir, 'verdict' | 'because'> {
  const doubt = doubtOf(airM, { stretch, unrest }, settings);
  if (doubt !== null) return { verdict: 'not-conclusive', because: doubt };
  const seen = airM.value >= surely * airM.uncertainty;
  if (seen || coverage * airM.uncertainty <= settings.filmToSeeM) {
    return { verdict: 'conclusive', because: measuredAir(airM, stretch, settings) };
  }
  return { verdict: 'not-conclusive', because: neededAccuracy(airM, contributions, stretch, settings) };
}

function doubtOf(
  airM: Known,
  { stretch: { cellCount }, unrest }: { readonly stretch: Stretch; readonly unrest: number },
  settings: WoundInAirSettings,
): Reason | null {
  if (cellCount < leastReadings) {
    const text = `only ${cellCount} readings since this stretch began, ${leastReadings} are needed`;
    return reason('stretch-just-begun', text, { cellCount, needed: leastReadings });
  }
  if (unrest >= restless) {
    const text =
      'the diameter leaves its line again and again: the film comes and goes, or the gauge wanders by more than stated';
    return reason('diameter-restless', text, { unrest });
  }
  return airM.value < -coverage * airM.uncertainty ? thinnerThanCaliper(airM, settings) : null;
}

function measuredAir(airM: Known, stretch: Stretch, settings: WoundInAirSettings): Reason {
  const text = `${airInWords(airM, settings)} over ${lengthInWords(stretch.to - stretch.from, settings)}`;
  return reason('air-measured', text, {
    airM: airM.value,
    uncertaintyM: airM.uncertainty,
    [settings.over === 'length' ? 'lengthM' : 'wraps']: stretch.to - stretch.from,
  });
}

function thinnerThanCaliper(airM: Known, settings: WoundInAirSettings): Reason {
  const text = `the layers are thinner than the stated caliper (${airInWords(airM, settings)}): check the caliper, or the web is pressed`;
  return reason('thinner-than-caliper', text, { airM: airM.value, uncertaintyM: airM.uncertainty });
}

/** The largest thing in the way decides what is asked for: of noise, caliper and calibration the first that would do if it were better. */
function neededAccuracy(
  airM: Known,
  { noiseM, calibrationM, caliperM }: AirContributions,
  stretch: Stretch,
  settings: WoundInAirSettings,
): Reason {
  const allowedM = settings.filmToSeeM / coverage;
  const seen = `${airInWords(airM, settings)}: to tell a film of ${film(settings.filmToSeeM, settings)}`;
  const forNoise = room(allowedM, calibrationM, caliperM);
  if (forNoise > 0) return lessNoiseNeeded(seen, forNoise / noiseM, stretch, settings);
  // What is left for the caliper, or where the present noise leaves nothing, what would be left with none.
  const forCaliper = room(allowedM, calibrationM, noiseM) || room(allowedM, calibrationM, 0);
  if (forCaliper > 0) return closerCaliperNeeded(seen, forCaliper, settings);
  const text = `${seen}, scale and zero of the gauge and the length must be ${(calibrationM / allowedM).toPrecision(2)} times closer; changes say more`;
  return reason('closer-calibration-needed', text, { neededM: allowedM, calibrationM });
}

function lessNoiseNeeded(
  seen: string,
  share: number,
  stretch: Stretch,
  settings: WoundInAirSettings,
): Reason {
  const neededScatterM = share * stretch.scatterM;
  // Noise falls with the stretch to the power -3/2.
  const neededLength = (stretch.to - stretch.from) * share ** (-2 / 3);
  const length = lengthInWords(neededLength, settings);
  const text = `${seen}, the gauge must scatter less than ${scatterInWords(neededScatterM, settings)} here, or the film stay as it is for ${length}`;
  return reason('longer-stretch-needed', text, {
    neededScatterM,
    [settings.over === 'length' ? 'neededLengthM' : 'neededWraps']: neededLength,
  });
}

function closerCaliperNeeded(seen: string, neededM: number, settings: WoundInAirSettings): Reason {
  const neededRatio = neededM / settings.caliperM;
  const text = `${seen}, the caliper must be known to ${film(neededM, settings)} (${(100 * neededRatio).toPrecision(2)} %), no length of web helps; changes say more`;
  return reason('closer-caliper-needed', text, { neededM, neededRatio });
}

/** What two contributions leave of an allowed uncertainty. */
function room(allowedM: number, one: number, other: number): number {
  return Math.sqrt(Math.max(0, allowedM ** 2 - one ** 2 - other ** 2));
}

function airInWords({ value, uncertainty }: Known, settings: WoundInAirSettings): string {
  return `air ${film(value, settings)}, standard uncertainty ${film(uncertainty, settings)}`;
}

function film(thicknessM: number, settings: WoundInAirSettings): string {
  const { number, unit } = display('film', thicknessM, settings.display);
  return `${number} ${unit}`;
}

function lengthInWords(length: number, settings: WoundInAirSettings): string {
  if (settings.over === 'wraps') return `${length.toFixed(0)} wraps`;
  const { number, unit } = display('length', length, settings.display);
  return `${number} ${unit} of web`;
}

function scatterInWords(scatterM: number, settings: WoundInAirSettings): string {
  return settings.display === 'metric'
    ? `${(1000 * scatterM).toPrecision(2)} mm`
    : `${fromSi(scatterM, '[in_i]').toPrecision(2)} in`;
}
