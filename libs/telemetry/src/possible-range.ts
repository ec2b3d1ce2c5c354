import type { SignalName } from '@edge-margin/plant';

/**
 * What each number can be at all, in the SI unit of the signal: wide bounds, an order of magnitude and more beyond any winder, that keep out
 * faulty numbers such as 1e308 where the plant file gives no plausible range. Own choice, no source. A signal that is not named is text.
 */
export const possibleRanges: Readonly<
  Partial<Record<SignalName, { readonly min: number; readonly max: number }>>
> = {
  speed: { min: -100, max: 100 },
  diameter: { min: 0, max: 10 },
  tension: { min: -1e6, max: 1e6 },
  nipLoad: { min: -1e6, max: 1e6 },
  nipLoadSwing: { min: 0, max: 100 },
  nipAcceleration: { min: -1e5, max: 1e5 },
  coreRotation: { min: -1000, max: 1000 },
  woundLength: { min: -1e7, max: 1e7 },
  winding: { min: 0, max: 1 },
  setEndDiameter: { min: 0, max: 10 },
};
