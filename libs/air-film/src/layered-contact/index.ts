/**
 * The nip of a covered roller whose contact is not short against the thickness of its cover.
 *
 * In: load per contact width, reduced radius, modulus, Poisson ratio and thickness of the cover. Out: {@link layeredContact}: half width, peak pressure, indentation, stiffness; {@link equivalentHalfSpace}: the load
 * with which the film formulas of a half-space give the film under this cover.
 *
 * Validity: bonded cover on a stiff core against a rigid roll, plane strain, small strains; Hertz half width up to 8 cover thicknesses, continued beyond.
 * Sources: Hertz 1882, Johnson 1985 (limits), Snoeijer, Eggers & Venner 2013 (what governs the inlet); own numerical solutions and derivations.
 */
export { type LayeredContact, layeredContact, type LayeredNip } from './layered-contact.js';
export { type EquivalentHalfSpace, equivalentHalfSpace } from './equivalent-half-space.js';
