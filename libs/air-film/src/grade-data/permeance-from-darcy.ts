import { type Known, known } from '@edge-margin/units';
import { inRange } from '../in-range.js';

/** A porous sheet and the air that passes through it. */
export interface PorousSheet {
  readonly caliperM: number;
  readonly viscosityPaS: number;
}

/**
 * Air permeance of a sheet from the permeability of its material, m/(Pa s): `P = k/(mu d)`.
 *
 * Definition (Darcy 1856): flow velocity `k/mu x dp/d`. Exact; the uncertainty is that of the permeability, plus the caliper's if that is not exact.
 * @param permeabilityM2 Darcy permeability k, m2, 0 to 1e-8; 0 = airtight.
 * @throws RangeError if caliper, viscosity or permeability make no sense.
 */
export function permeanceFromDarcy(permeabilityM2: Known, sheet: PorousSheet): Known {
  inRange({ name: 'permeabilityM2', value: permeabilityM2.value, unit: 'm2', low: 0, high: 1e-8 });
  const factor = 1 / resistance(sheet);
  return known(permeabilityM2.value * factor, permeabilityM2.uncertainty * factor);
}

/**
 * Darcy permeability of a sheet's material from its permeance, m2: `k = P mu d`, the inverse of {@link permeanceFromDarcy}.
 * @param permeanceMPerPaS permeance, m/(Pa s), 0 to 10.
 * @throws RangeError if caliper, viscosity or permeance make no sense.
 */
export function darcyFromPermeance(permeanceMPerPaS: Known, sheet: PorousSheet): Known {
  inRange({ name: 'permeanceMPerPaS', value: permeanceMPerPaS.value, unit: 'm/(Pa s)', low: 0, high: 10 });
  const factor = resistance(sheet);
  return known(permeanceMPerPaS.value * factor, permeanceMPerPaS.uncertainty * factor);
}

/** mu d, Pa s m. */
function resistance({ caliperM, viscosityPaS }: PorousSheet): number {
  inRange({ name: 'caliperM', value: caliperM, unit: 'm', low: 1e-6, high: 5e-3 });
  inRange({ name: 'viscosityPaS', value: viscosityPaS, unit: 'Pa s', low: 1e-7, high: 1e-2 });
  return caliperM * viscosityPaS;
}
