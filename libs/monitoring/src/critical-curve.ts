/** Slowness (1/Vcrit, s/m) over diameter; 0 where there is no critical speed. */
export type CriticalCurve = (diameterM: number) => number;

const intervals = 24;

/**
 * The critical speed over a range of diameters as a curve that is cheap to ask: computed at 25 diameters, each when it is first needed, straight
 * lines in 1/Vcrit between them (1/Vcrit is nearly straight in the diameter: the error stays below 0.1 % over a range of 1 to 3, see the test).
 * Beyond the range its ends hold.
 */
export function criticalCurve(
  criticalSpeedAt: (diameterM: number) => number | null,
  fromM: number,
  toM: number,
): CriticalCurve {
  const stepM = Math.max(toM - fromM, 1e-6) / intervals;
  const computed: (number | undefined)[] = [];
  const slownessAt = (index: number): number => {
    const known = computed[index];
    if (known !== undefined) return known;
    const critical = criticalSpeedAt(fromM + index * stepM);
    const slowness = critical === null ? 0 : 1 / critical;
    computed[index] = slowness;
    return slowness;
  };
  return (diameterM) => {
    const place = Math.min(Math.max((diameterM - fromM) / stepM, 0), intervals);
    const index = Math.min(Math.floor(place), intervals - 1);
    const low = slownessAt(index);
    return low + (slownessAt(index + 1) - low) * (place - index);
  };
}
