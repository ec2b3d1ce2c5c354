/**
 * Axes of the nip-film table. Film numbers are smooth on them, so a coarse grid with cubic interpolation is enough
 * (measured off the grid in the test: within 0.3 %).
 */
export const LN_SPEED_AXIS = axis(-11.5, 0.7, 19); // speed number 1.0e-5 to 3.0
export const LN_PRESSURE_AXIS = axis(-2.4, 0.6, 9); // peak over ambient pressure 0.09 to 11
export const SLIP_AXIS: readonly number[] = [0, 0.012, 0.035, 0.09, 0.22, 0.5];

function axis(first: number, step: number, count: number): readonly number[] {
  return Array.from({ length: count }, (_, i) => first + step * i);
}
