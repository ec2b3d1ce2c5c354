import type { DisplaySystem } from '@edge-margin/units';
import { notNegative, positive } from '../positive.js';
import { type BuildLaw, type BuildLawName, buildLaws } from './build-law.js';
import type { WoundInAirConfig } from './wound-in-air-types.js';

/** The configuration with its defaults filled in and checked. */
export interface WoundInAirSettings {
  readonly over: BuildLawName;
  readonly law: BuildLaw;
  readonly caliperM: number;
  readonly caliperUncertaintyM: number;
  readonly gaugeUncertaintyM: number;
  readonly gaugeScaleRatio: number;
  readonly lengthRatio: number;
  readonly filmToSeeM: number;
  /** The noise of a chosen stretch is brought down to this, m. */
  readonly wantedNoiseM: number;
  /** Units of sentences. */
  readonly display: DisplaySystem;
  /** Null where the stretch is chosen. */
  readonly window: number | null;
}

const gaugeScaleRatioAssumed = 0.001;
const filmPerCaliper = 0.1;
/**
 * Noise wanted, as a share of the film to be seen: at two standard uncertainties a quarter of it. Halving it would cost 1.6 times the stretch, and so
 * 1.6 times coarser steps along the roll; doubling it would leave the noise about as large as the caliper's part. Own choice.
 */
const noisePerFilm = 1 / 8;

/**
 * Fills in the defaults of the measurement of wound-in air.
 * @throws RangeError naming the parameter that is out of its range, or the window that does not belong to the abscissa.
 */
export function woundInAirSettings(config: WoundInAirConfig): WoundInAirSettings {
  const over = config.over ?? (config.windowWraps === undefined ? 'length' : 'wraps');
  const caliperM = positive('caliperM', config.caliperM, 'm');
  const filmToSeeM = positive('filmToSeeM', config.filmToSeeM ?? filmPerCaliper * caliperM, 'm');
  return {
    over,
    law: buildLaws[over],
    caliperM,
    caliperUncertaintyM:
      caliperM * notNegative('caliperUncertaintyRatio', config.caliperUncertaintyRatio, '1'),
    gaugeUncertaintyM: positive('gaugeUncertaintyM', config.gaugeUncertaintyM, 'm'),
    gaugeScaleRatio: notNegative(
      'gaugeScaleUncertaintyRatio',
      config.gaugeScaleUncertaintyRatio ?? gaugeScaleRatioAssumed,
      '1',
    ),
    lengthRatio: notNegative('lengthUncertaintyRatio', config.lengthUncertaintyRatio, '1'),
    filmToSeeM,
    wantedNoiseM: noisePerFilm * filmToSeeM,
    display: config.display ?? 'metric',
    window: windowOf(config, over),
  };
}

function windowOf({ windowM, windowWraps }: WoundInAirConfig, over: BuildLawName): number | null {
  const other = over === 'length' ? windowWraps : windowM;
  if (other !== undefined) {
    const [name, unit] = over === 'length' ? ['windowWraps', '1'] : ['windowM', 'm'];
    throw new RangeError(`${name}: none is taken for a stretch over ${over}, got ${other} ${unit}`);
  }
  if (over === 'length') return windowM === undefined ? null : positive('windowM', windowM, 'm');
  return windowWraps === undefined ? null : positive('windowWraps', windowWraps, '1');
}
