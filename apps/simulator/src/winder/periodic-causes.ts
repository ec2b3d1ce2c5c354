import { PI } from '../math/portable-math.js';
import type { StationModel } from './station-model.js';
import { knifePeriodM, rollerPeriodM } from './turning.js';
import type { WebPeriod } from './web.js';

/** Something that moves the laid edges of a roll again and again. */
export interface PeriodicCause {
  readonly name: string;
  /** Web between two repetitions now, m. */
  readonly periodM: number;
  readonly amplitudeM: number;
}

/** Everything that repeats along the web and reaches the edges of a strip (or of all strips: the nip, the path). */
export function periodicCauses(
  { line, station }: StationModel,
  knives: readonly number[],
  now: { readonly web: WebPeriod | null; readonly speedMPerS: number },
): readonly PeriodicCause[] {
  return [
    ...(line?.slitter?.knives ?? [])
      .filter((knife) => knife.runOutM > 0 && knives.includes(knife.number))
      .map((knife) => ({
        name: `knife ${knife.number}`,
        periodM: line?.slitter === undefined ? Infinity : knifePeriodM(line.slitter),
        amplitudeM: knife.runOutM,
      })),
    ...[...(line?.idlers ?? []), ...station.path.idlers]
      .filter((idler) => idler.axialM > 0)
      .map((idler) => ({ name: idler.name, periodM: rollerPeriodM(idler), amplitudeM: idler.axialM })),
    ...unwindCause(line, now.web),
    ...nipCauses(station, now.speedMPerS),
  ];
}

function unwindCause(line: StationModel['line'], web: WebPeriod | null): readonly PeriodicCause[] {
  const plan = line?.unwind;
  const unwind = web?.unwind ?? null;
  if (plan === undefined || unwind === null || (plan.axialM === 0 && plan.tensionRatio === 0)) return [];
  return [{ name: 'unwinding roll', periodM: PI * unwind.diameterM, amplitudeM: plan.axialM }];
}

/** What moves the nip at its own pace steers and narrows; what turns with the winding roll makes no rings. */
function nipCauses({ nip }: StationModel['station'], speedMPerS: number): readonly PeriodicCause[] {
  if (nip === null) return [];
  const moving = nip.excitation.flatMap((one): readonly PeriodicCause[] => {
    if ('rollerDiameterM' in one)
      return [{ name: 'nip surface', periodM: PI * one.rollerDiameterM, amplitudeM: one.amplitudeM }];
    if ('frequencyHz' in one && speedMPerS > 0)
      return [{ name: 'nip vibration', periodM: speedMPerS / one.frequencyHz, amplitudeM: one.amplitudeM }];
    return [];
  });
  if (nip.unbalance === undefined || nip.unbalance.kgM === 0) return moving;
  return [...moving, { name: 'nip roller', periodM: PI * nip.rollerDiameterM, amplitudeM: 0 }];
}
