import {
  type AirMargin,
  airMargin,
  type AirPoint,
  type AirQuestion,
  type InputUncertainties,
} from '@edge-margin/air-film';
import type { End, Grade, Nip } from '@edge-margin/plant';
import {
  type DisplaySystem,
  type Known,
  known,
  type Quantity,
  reason,
  type Reason,
  type Unknown,
  unknown,
} from '@edge-margin/units';
import { type AirAround, airAround, type AirSignals } from './air-around.js';
import type { AirInHand } from './assessment.js';
import { chanceBeyond } from './chance.js';
import type { StationModel } from './model.js';
import { nipInPart, nipLifted } from './nip-in-part.js';
import {
  bendingOf,
  combinedRoughnessOf,
  coverModulusOf,
  permeanceOf,
  profileRangeOf,
} from './web-properties.js';

/** The air mechanism at one grid time: what is shown, its chance, and what the forecast and the remedy ask of it. */
export interface AirNow {
  readonly inHand: AirInHand;
  readonly chance: Quantity;
  /** Null where the operating point is not known. */
  readonly outlook: AirOutlook | null;
}

export interface AirOutlook {
  /** The operating point at another diameter, all else as it is now. */
  readonly pointAt: (diameterM: number) => AirPoint;
  /** Critical speed at another diameter, m/s; null where there is none up to twice the machine's limit. */
  readonly criticalSpeedAt: (diameterM: number) => number | null;
  /** Relative standard uncertainty of V/Vcrit. */
  readonly shareUncertaintyRatio: number;
}

export interface AirFacts {
  readonly model: StationModel;
  readonly grade: Grade;
  /** The grade that is wound is not in the plant file. */
  readonly gradeProblem: Reason | null;
  readonly diameterM: Quantity;
  readonly speedMPerS: Quantity;
  readonly tensionNPerM: Quantity;
  /** Mean over the ends. */
  readonly nipLoadNPerM: Quantity;
  /** Ends of the nip at which there is evidence that it lifts off. */
  readonly contactLostAt: readonly End[];
  /** What signals tell of the air around the winder. */
  readonly airSignals: AirSignals;
  readonly display: DisplaySystem;
}

/** The air-entrainment margin from the readings; not known where one of them is not. */
export function airNow(facts: AirFacts): AirNow {
  const { diameterM, gradeProblem, model, nipLoadNPerM, speedMPerS, tensionNPerM } = facts;
  if (gradeProblem !== null) return notKnown(gradeProblem);
  if (diameterM.kind === 'unknown') return notKnown(diameterM.because);
  if (speedMPerS.kind === 'unknown') return notKnown(speedMPerS.because);
  if (tensionNPerM.kind === 'unknown') return notKnown(tensionNPerM.because);
  const hasNip = model.context.station.nip !== null;
  if (hasNip && nipLoadNPerM.kind === 'unknown') return notKnown(nipLoadNPerM.because);
  const load = nipLoadNPerM.kind === 'known' ? nipLoadNPerM : known(0);
  const around = airAround(model.context.air, facts.airSignals);
  const question = airQuestion(facts, { diameterM, speedMPerS, tensionNPerM, load, around });
  if ('kind' in question) return notKnown(question.because);
  try {
    return seen(question, airMargin(question), facts);
  } catch (error) {
    // A reading that no physics is made for (a tension of zero, say) is data, not a fault of the service.
    if (!(error instanceof RangeError)) throw error;
    return notKnown(reason('outside-physics', error.message));
  }
}

/** The readings of one operating point, all known. */
export interface AirReadings {
  readonly diameterM: Known;
  readonly speedMPerS: Known;
  readonly tensionNPerM: Known;
  readonly load: Known;
  /** Undefined: standard air. */
  readonly around: AirAround | undefined;
}

/** The operating point with the uncertainties of its readings and of the grade's data; unknown where the plant file's figures do not tell them. */
export function airQuestion(
  { grade, model }: Pick<AirFacts, 'grade' | 'model'>,
  { around, diameterM, speedMPerS, tensionNPerM, load }: AirReadings,
): AirQuestion | Unknown {
  const { station, webWidthM, winder } = model.context;
  const { nip } = station;
  const roughness = combinedRoughnessOf(grade);
  const permeance = permeanceOf(grade);
  const cover = nip === null ? null : coverModulusOf(nip);
  if (roughness.kind === 'unknown') return roughness;
  if (permeance.kind === 'unknown') return permeance;
  if (cover?.kind === 'unknown') return cover;
  const uncertainties: InputUncertainties = {
    speedRatio: ratioOf(speedMPerS),
    rollDiameterRatio: ratioOf(diameterM),
    tensionRatio: ratioOf(tensionNPerM),
    nipLoadRatio: ratioOf(load),
    combinedRoughnessRatio: ratioOf(roughness),
    permeanceRatio: ratioOf(permeance),
    ...(cover === null ? {} : { coverModulusRatio: ratioOf(cover) }),
    ...(around === undefined ? {} : { viscosityRatio: around.viscosityRatio }),
  };
  // How far the cover follows is not known without its thickness; the check of the plant file says so.
  const profileRangeM =
    nip?.coverThicknessM === undefined ? undefined : profileRangeOf(grade, station.coreDiameterM);
  return {
    web: {
      // The widest roll side by side keeps its air longest.
      widthM: Math.max(...station.rolls.map((roll) => roll.widthM)),
      caliperM: grade.caliperM,
      combinedRoughnessM: roughness.value,
      permeanceMPerPaS: permeance.value,
      ...(grade.grammageKgPerM2 === undefined ? {} : { grammageKgPerM2: grade.grammageKgPerM2 }),
      ...(grade.frictionRatio === undefined ? {} : { frictionRatio: grade.frictionRatio }),
      ...(grade.modulusPa === undefined ? {} : { modulusPa: grade.modulusPa }),
      ...(profileRangeM === undefined ? {} : { profileRangeM }),
      ...(grade.thinLaneWidthRatio === undefined ? {} : { thinLaneWidthRatio: grade.thinLaneWidthRatio }),
    },
    nip:
      nip === null || cover === null
        ? null
        : winderNip(nip, { coverModulusPa: cover.value, loadNPerM: load.value, contactWidthM: webWidthM }),
    ...(around === undefined ? {} : { air: around.condition }),
    running: {
      speedMPerS: Math.max(speedMPerS.value, 0),
      rollDiameterM: diameterM.value,
      tensionNPerM: tensionNPerM.value,
      ...(profileRangeM === undefined ? {} : { coreDiameterM: station.coreDiameterM }),
    },
    floatingWrapsAllowed: grade.floatingWrapsAllowed,
    boundaryFactor: grade.boundaryFactor,
    speedLimitMPerS: winder.limits.speedMPerS.max,
    display: model.display,
    uncertainties,
    ...(grade.calibration === undefined
      ? {}
      : { calibration: { criticalSpeedUncertaintyRatio: grade.calibration.criticalSpeedUncertaintyRatio } }),
  };
}

function winderNip(
  nip: Nip,
  told: { readonly coverModulusPa: number; readonly loadNPerM: number; readonly contactWidthM: number },
): NonNullable<AirPoint['nip']> {
  const bending = nip.coverThicknessM === undefined ? undefined : bendingOf(nip, told.contactWidthM);
  return {
    rollerDiameterM: nip.rollerDiameterM,
    coverModulusPa: told.coverModulusPa,
    coverPoissonRatio: nip.coverPoissonRatio,
    ...(nip.coverThicknessM === undefined ? {} : { coverThicknessM: nip.coverThicknessM }),
    loadNPerM: Math.max(told.loadNPerM, 0),
    ...(bending === undefined ? {} : { bending }),
    ...(nip.wrapBeforeNipRad === undefined ? {} : { wrapBeforeNipRad: nip.wrapBeforeNipRad }),
  };
}

function ratioOf({ value, uncertainty }: Known): number {
  return value === 0 ? 0 : Math.abs(uncertainty / value);
}

function seen(question: AirQuestion, air: AirMargin, facts: AirFacts): AirNow {
  return {
    inHand: {
      applies: air.applies,
      because: air.because,
      marginRatio: air.marginRatio,
      criticalSpeedMPerS: air.criticalSpeedMPerS,
      filmCriticalSpeedMPerS: air.filmCriticalSpeedMPerS,
      woundInFilmM: known(air.airFilm.woundInM, air.airFilm.woundInM * air.uncertainty.woundInFilmRatio),
      filmRatio: known(air.filmRatio, air.filmRatio * air.uncertainty.filmRatioRatio),
      nipLifted: facts.contactLostAt.length > 0 ? nipLifted(air, facts.display) : null,
      ...nipInPart(air, facts.contactLostAt),
    },
    chance: chanceOf(air),
    outlook: {
      pointAt: (rollDiameterM) => ({ ...question, running: { ...question.running, rollDiameterM } }),
      criticalSpeedAt: (diameterM) => air.criticalSpeedAt(diameterM) ?? null,
      shareUncertaintyRatio: air.uncertainty.speedShareRatio,
    },
  };
}

/** Margin 0 is one half. Where there is no critical speed the wraps are not free to move at any speed of the machine. */
function chanceOf({ marginRatio }: AirMargin): Quantity {
  if (marginRatio.kind === 'unknown') return known(0);
  return known(chanceBeyond({ value: -marginRatio.value, uncertainty: marginRatio.uncertainty, limit: 0 }));
}

function notKnown(because: Reason): AirNow {
  const none = unknown(because);
  return {
    inHand: {
      applies: true,
      because,
      marginRatio: none,
      criticalSpeedMPerS: none,
      filmCriticalSpeedMPerS: none,
      woundInFilmM: none,
      filmRatio: none,
      nipLifted: null,
    },
    chance: none,
    outlook: null,
  };
}
