import { periodicCauses } from '../winder/periodic-causes.js';
import type { StationModel } from '../winder/station-model.js';
import type { Cause } from './truth-record.js';

/** What the scenario lets work on each station beside what every station has; nothing where no station has any. */
export function causesTruth(models: readonly StationModel[]): {
  readonly causes?: Readonly<Record<string, readonly Cause[]>>;
} {
  const causes = models.flatMap((model) => {
    const found = causesOf(model);
    return found.length === 0 ? [] : [[`${model.winder}/${model.station.id}`, found] as const];
  });
  return causes.length === 0 ? {} : { causes: Object.fromEntries(causes) };
}

function causesOf(model: StationModel): readonly Cause[] {
  const { station, line, strips } = model;
  const knives = [...new Set(strips.flatMap((plan) => plan.knives ?? []))];
  const periodic = periodicCauses(model, knives, { web: null, speedMPerS: 0 });
  const worn = (line?.slitter?.knives ?? []).filter(
    (knife) => knives.includes(knife.number) && knife.cutNoiseM + knife.wearMPerKm > 0,
  );
  return [
    ...periodic,
    ...worn.map((knife) => ({ name: `cut of knife ${knife.number}`, amplitudeM: knife.cutNoiseM })),
    ...when(line?.unwind?.axialM, 'unwinding roll'),
    ...when(line?.unwind?.tensionRatio, 'tension of the unwinding roll', false),
    ...when(line?.web.wander.rms, 'wander of the web'),
    ...when(Math.abs(line?.web.driftMPerHour ?? 0), 'drift of the web', false),
    ...when(line?.web.steps.length, 'steps of the web', false),
    ...when(line?.web.lanes.length, 'caliper lanes', false),
    ...when(line?.splices.length, 'splices', false),
    ...when(line?.stops.length, 'stops', false),
    ...when(line?.breaks.length, 'web breaks', false),
    ...when(station.path.shaft?.playM, 'shaft play'),
    ...when(station.gradeChanges.length, 'grade change', false),
    ...nipCauses(model),
  ];
}

function nipCauses({ station: { nip } }: StationModel): readonly Cause[] {
  if (nip === null) return [];
  return [
    ...when(nip.selfExcited?.imprintRatio, 'self-excited', false),
    ...when(nip.guideFrictionN, 'guide friction', false),
    ...when(nip.unbalance?.kgM, 'unbalance', false),
    ...nip.bearings.map(({ end }) => ({ name: `bearing, ${end} end` })),
    ...when(nip.gearMesh?.accelerationMPerS2, 'gear mesh', false),
    ...nip.structureLines.map(({ frequencyHz }) => ({ name: 'structure', frequencyHz })),
    ...nip.excitation.flatMap((one) =>
      'frequencyHz' in one
        ? [{ name: 'nip vibration', frequencyHz: one.frequencyHz, amplitudeM: one.amplitudeM }]
        : [],
    ),
  ];
}

/** A cause that is there if its measure is not 0; the measure is told where it is a length. */
function when(measure: number | undefined, name: string, isLength = true): readonly Cause[] {
  if (measure === undefined || measure === 0) return [];
  return [isLength ? { name, amplitudeM: measure } : { name }];
}
