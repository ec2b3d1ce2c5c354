/**
 * Vibration of a nip on a winding roll: how far it is from losing contact, how much its load swings, and where in a build it may resonate.
 *
 * In: per end of the nip the peak acceleration of a block (m/s2, positive towards the winding roll), the nip load (N/m of contact width) and its swing; mass,
 * width and limits from the plant file. Out: per end and over the ends, with standard uncertainties, the contact-loss ratio B = m a / F, the swing
 * (mean - minimum) / mean, the larger of the two as a share of its limit, what is in hand, and the chance that the limit is passed; or the reason why not.
 *
 * Sign: N = F + m x'' with x'' positive away from the roll; contact is lost exactly where the acceleration towards the roll reaches F/m. The signal counts
 * positive towards the roll, so lift-off is B = +1. In free flight it is clipped there: with block peaks alone lift-off can be likely, never proven.
 *
 * Validity: below the first resonance of arm and bearing; blocks of at least ten periods of the slowest bounce; a load cell sees the nip force only as far as no
 * mass lies inboard of it. Sampled loads give a lower bound of the swing.
 * Sources: momentum of the nip roller (own derivations, checked by own time integration with contact on one side); Abramowitz & Stegun 1964 for the normal
 * distribution; JCGM 100:2008 and 106:2012 for uncertainty and chance. Limits are the site's: no published ones were found.
 */
export { normalCdf } from './normal-cdf.js';
export { chanceAbove } from './chance-above.js';
export { type StaticForceSource, staticForceAtEnd } from './static-force.js';
export { type ContactLossInput, contactLossRatio } from './contact-loss.js';
export { type LoadBlock, loadSwing } from './load-swing.js';
export { nipForceFromCell, swingAtNip } from './inboard-mass.js';
export {
  type NipEndBounce,
  type NipEndMeasured,
  type NipEndName,
  type NipSetting,
  nipEndBounce,
} from './nip-end-bounce.js';
export { type NipBounce, nipBounce } from './nip-bounce.js';
export {
  type ResonanceDiameter,
  naturalFrequency,
  resonanceDiameters,
  rotationFrequency,
} from './resonance.js';
export { type UnevenRoll, liftOffSpeed, onsetAmplitude } from './bounce-onset.js';
