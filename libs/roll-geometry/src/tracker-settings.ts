import { type Known, known } from '@edge-margin/units';
import { positive } from './positive.js';
import type { RollTrackerConfig } from './roll-tracker-types.js';

/** The configuration with its defaults filled in and checked. */
export interface TrackerSettings extends Required<Omit<RollTrackerConfig, 'caliperUncertaintyRatio'>> {
  /** The core: its diameter is known to half a per cent (own assumption). */
  readonly coreM: Known;
  /** The layer thickness before the roll has shown its own: the caliper. */
  readonly layerM: Known;
}

const coreUncertaintyRatio = 0.005;

/**
 * Fills in the defaults of a tracker's configuration.
 * @throws RangeError naming the parameter that is not a positive number.
 */
export function trackerSettings(config: RollTrackerConfig): TrackerSettings {
  const {
    caliperUncertaintyRatio = 0.05,
    predictForS = 60,
    confirmCells = 5,
    standstillSpeedMPerS = 0.05,
  } = config;
  const coreDiameterM = positive('coreDiameterM', config.coreDiameterM, 'm');
  const caliperM = positive('caliperM', config.caliperM, 'm');
  return {
    gradeId: config.gradeId,
    coreDiameterM,
    caliperM,
    diameterFrom: config.diameterFrom,
    maxSpeedMPerS: positive('maxSpeedMPerS', config.maxSpeedMPerS, 'm/s'),
    maxDiameterM: positive('maxDiameterM', config.maxDiameterM, 'm'),
    predictForS: positive('predictForS', predictForS, 's'),
    confirmCells: positive('confirmCells', confirmCells, '1'),
    standstillSpeedMPerS: positive('standstillSpeedMPerS', standstillSpeedMPerS, 'm/s'),
    coreM: known(coreDiameterM, coreUncertaintyRatio * coreDiameterM),
    layerM: known(caliperM, positive('caliperUncertaintyRatio', caliperUncertaintyRatio, '1') * caliperM),
  };
}
