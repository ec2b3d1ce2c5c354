import { bulkDensity, type LayOnEnd, layOnLoad, twoDrumLoad } from '@edge-margin/air-film';
import type { End, Grade, Nip } from '@edge-margin/plant';
import { known, type Quantity, reason, unknown } from '@edge-margin/units';
import { signalKey } from './cell.js';
import { endsGiven, inputQuantity, type Inputs } from './inputs.js';
import type { StationModel } from './model.js';

/** What the nip load is told or reckoned from. */
export interface NipLoadFacts {
  readonly model: StationModel;
  readonly inputs: Inputs;
  readonly grade: Grade;
  readonly diameterM: Quantity;
}

/** The nip load per contact width, N/m. */
export interface NipLoadNow {
  /** Over the whole nip. */
  readonly meanNPerM: Quantity;
  readonly atEnd: (end: End) => Quantity;
}

/**
 * The nip load: measured where a signal tells it; else reckoned from cylinder pressure (lay-on roller) or from the weight of the roll and the rider load
 * (two-drum winder), as the plant file says. Not known where what it is reckoned from is not.
 */
export function nipLoadNow(facts: NipLoadFacts): NipLoadNow {
  const { inputs, model } = facts;
  const { nip } = model.context.station;
  if (nip === null) return everywhere(unknown(reason('no-nip', 'no roller touches the winding roll')));
  const ends = endsGiven(inputs, ['nipLoad']);
  if (ends.length > 0 || nip.loadFrom === undefined) return measured(inputs, ends);
  try {
    return 'cylinders' in nip.loadFrom
      ? fromCylinders(facts, nip.loadFrom.cylinders)
      : everywhere(onDrums(facts, nip.loadFrom.drums));
  } catch (error) {
    // A diameter below the core, say: data that no statics is made for.
    if (!(error instanceof RangeError)) throw error;
    return everywhere(unknown(reason('outside-statics', error.message)));
  }
}

function everywhere(load: Quantity): NipLoadNow {
  return { meanNPerM: load, atEnd: () => load };
}

function measured(inputs: Inputs, ends: readonly End[]): NipLoadNow {
  const atEnd = (end: End): Quantity =>
    // Where the load is given for the whole nip only, each end carries half: the load per width is the same.
    inputs.mapped.has(signalKey('nipLoad', end))
      ? inputQuantity(inputs, 'nipLoad', end)
      : inputQuantity(inputs, 'nipLoad');
  return { meanNPerM: meanOf((ends.length > 0 ? ends : (['both'] as const)).map(atEnd)), atEnd };
}

function meanOf(loads: readonly Quantity[]): Quantity {
  let sum = 0;
  let variance = 0;
  for (const load of loads) {
    if (load.kind === 'unknown') return load;
    sum += load.value;
    variance += load.uncertainty ** 2;
  }
  return known(sum / loads.length, Math.sqrt(variance) / loads.length);
}

type LoadFrom = NonNullable<Nip['loadFrom']>;
type Cylinders = Extract<LoadFrom, { cylinders: unknown }>['cylinders'];
type Drums = Extract<LoadFrom, { drums: unknown }>['drums'];

function fromCylinders({ inputs, model }: NipLoadFacts, cylinders: Cylinders): NipLoadNow {
  const { webWidthM } = model.context;
  const endOf = (end: End): LayOnEnd => ({
    cylinders: {
      count: cylinders.countPerEnd,
      boreDiameterM: cylinders.boreDiameterM,
      rodDiameterM: cylinders.rodDiameterM,
      closesBy: cylinders.closesBy,
    },
    closingPressurePa: inputs.mapped.has(signalKey('cylinderPressure', end))
      ? inputQuantity(inputs, 'cylinderPressure', end)
      : inputQuantity(inputs, 'cylinderPressure'),
    leverRatio: cylinders.leverRatio,
    massKg: cylinders.massPerEndKg,
    closingAngleRad: cylinders.closingAngleRad,
    frictionN: cylinders.frictionPerEndN,
    movement: 'retreating',
  });
  const load = layOnLoad({
    tending: endOf('tending'),
    drive: endOf('drive'),
    contactWidthM: webWidthM,
    display: model.display,
  });
  const perWidth = (force: Quantity): Quantity =>
    force.kind === 'unknown'
      ? force
      : known(Math.max(force.value, 0) / (webWidthM / 2), force.uncertainty / (webWidthM / 2));
  return {
    meanNPerM: load.loadNPerM,
    atEnd: (end) =>
      end === 'tending'
        ? perWidth(load.tendingForceN)
        : end === 'drive'
          ? perWidth(load.driveForceN)
          : load.loadNPerM,
  };
}

function onDrums({ diameterM, grade, inputs, model }: NipLoadFacts, drums: Drums): Quantity {
  if (grade.grammageKgPerM2 === undefined) {
    return unknown(
      reason(
        'no-grammage',
        `the grade ${grade.id} tells no mass per area, so the weight of the roll is not known`,
        { grade: grade.id },
      ),
    );
  }
  const hasRider = inputs.mapped.has(signalKey('riderLoad', 'both'));
  return twoDrumLoad({
    drums,
    roll: {
      diameterM,
      coreDiameterM: model.context.station.coreDiameterM,
      bulkDensityKgPerM3: bulkDensity({ grammageKgPerM2: grade.grammageKgPerM2, caliperM: grade.caliperM }),
      coreMassKgPerM: drums.coreMassKgPerM,
    },
    riderLoadNPerM: hasRider ? inputQuantity(inputs, 'riderLoad') : known(0),
    webArrivesAt: drums.webArrivesAt,
    display: model.display,
  }).excludingLoadNPerM;
}
