import type { Conversion } from './conversion.js';
import { bendtsenConversion } from './permeance-from-bendtsen.js';
import { gurleyConversion } from './permeance-from-gurley.js';
import { ppsConversion } from './roughness-from-pps.js';
import { raConversion } from './roughness-from-ra.js';
import { rzConversion } from './roughness-from-rz.js';

/** Every conversion with its range, uncertainty and source, for pages and documentation. Shore A stands apart: see `modulusBandFromShore`. */
export const conversions: readonly Conversion[] = [
  gurleyConversion,
  bendtsenConversion,
  ppsConversion,
  raConversion,
  rzConversion,
];
