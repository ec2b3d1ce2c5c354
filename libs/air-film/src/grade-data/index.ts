/**
 * Grade data that people have, turned into what the air model needs.
 *
 * In: figures in the units of their method (Gurley s, Bendtsen mL/min, Shore A) or in metres (PPS, Ra, Rz). Out: permeance m/(Pa s), rms roughness m, Young's modulus Pa,
 * each with a standard uncertainty that holds the conversion's own and the reading's. A figure that its method cannot tell gives `unknown` with the reason; one that
 * cannot exist (0 s, 120 Shore A) is a RangeError. {@link conversions} lists ranges, uncertainties and sources.
 *
 * {@link typicalGrades} is a list to start from: typical, from memory; replace by measured.
 */
export type { Conversion, FigureRange } from './conversion.js';
export { conversions } from './conversions.js';
export { permeanceFromGurley } from './permeance-from-gurley.js';
export { permeanceFromBendtsen } from './permeance-from-bendtsen.js';
export { darcyFromPermeance, permeanceFromDarcy, type PorousSheet } from './permeance-from-darcy.js';
export { averageRoughnessFromPps, rmsRoughnessFromPps } from './roughness-from-pps.js';
export { rmsRoughnessFromRa } from './roughness-from-ra.js';
export { peakRoughnessFromRz } from './roughness-from-rz.js';
export { combinedRoughness, type TwoFaces } from './combined-roughness.js';
export {
  dynamicModulus,
  type ModulusBand,
  modulusBandFromShore,
  modulusFromShore,
} from './modulus-from-shore.js';
export { type TypicalGrade, typicalGrades } from './typical-grades.js';
export { typicalValue } from './typical-range.js';
export { typicalCombinedRoughness } from './typical-roughness.js';
