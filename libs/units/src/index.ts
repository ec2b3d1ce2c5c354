/**
 * Units at the edges, quantities with their uncertainty, reasons, and physical constants with their sources.
 *
 * Everything inside the project is SI; a conversion happens once on the way in and once on the way out. Units are named by their UCUM codes.
 */
export { type Reason, reason } from './reason.js';
export { type Known, type Quantity, type Unknown, known, unknown, valueOf } from './quantity.js';
