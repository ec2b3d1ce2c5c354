/** Standard acceleration of free fall, m/s2, exact. Source: 3rd CGPM, 1901. At a site it differs by up to 0.3 %. */
export const standardGravityMPerS2 = 9.80665;
