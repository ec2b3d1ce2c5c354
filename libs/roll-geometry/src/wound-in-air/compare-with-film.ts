import {
  type DisplaySystem,
  type Known,
  type Quantity,
  type Reason,
  display,
  known,
  reason,
  standardAtmospherePa,
  unknown,
} from '@edge-margin/units';
import { positive } from '../positive.js';
import type { WoundInAir } from './wound-in-air-types.js';

/** What the model says of the air that was measured. */
export interface FilmToCompare {
  /** The model's wound-in film as thickness at ambient pressure, m. */
  readonly filmM: Quantity;
  /** Pressure between the buried wraps, above ambient, Pa; unknown where nothing tells it. */
  readonly woundInPressurePa: Quantity;
  /** Pa, > 0. Default: standard atmosphere. */
  readonly ambientPressurePa?: number;
  /** Units of the sentences; metric if left out. */
  readonly display?: DisplaySystem;
}

/** Measured air beside the model's. */
export interface FilmComparison {
  readonly verdict: 'agrees' | 'higher' | 'lower' | 'not-comparable';
  readonly because: Reason;
  /** The model's film pressed by the wraps above it, and as it was laid down; null where the model says nothing. */
  readonly expected: { readonly pressedM: Known; readonly looseM: Known } | null;
  /** Measured less the middle of what was expected, m: to be trended by the caller. */
  readonly differenceM: Quantity;
}

/** Wound-in pressures reach up to about this, Pa, where nothing tells (order of magnitude from memory, no source): own assumption. */
const highestPressurePa = 500e3;
/** Standard uncertainties beyond which measurement and model contradict each other: about 95 %. */
const coverage = 2;

/**
 * Holds the measured air against the model's film.
 *
 * A film laid down at ambient pressure is pressed to `h pa/(pa + p)` when later wraps put it under the pressure p (isothermal gas that cannot escape; own
 * derivation). What the diameter shows lies between the two: just after a change the film as it was laid, in a steady build the pressed one. Air that leaks
 * out, in hours where the edges are far or the web is tight, makes it less still and is not in the range; so a change of the difference says more than
 * its value.
 *
 * Contradiction: outside the range by more than two standard uncertainties, both combined. Where the measurement cannot tell the film from none, it cannot
 * agree with it either: not comparable.
 * @param measured what the measurement says now.
 * @param model film and pressures.
 * @throws RangeError if a pressure or film is negative.
 */
export function compareWithFilm(measured: WoundInAir, model: FilmToCompare): FilmComparison {
  const { airThicknessM: air } = measured;
  const { display: system = 'metric' } = model;
  if (model.filmM.kind === 'unknown') return notComparable(model.filmM.because, null);
  const expected = expectedAir(model.filmM, model);
  if (air.kind === 'unknown') return notComparable(air.because, expected);
  const { pressedM, looseM } = expected;
  const common = { expected, differenceM: differenceOf(air, expected) };
  if (air.value > looseM.value + coverage * Math.hypot(looseM.uncertainty, air.uncertainty)) {
    return { ...common, verdict: 'higher', because: moreThanModel(air, expected, system) };
  }
  if (air.value < pressedM.value - coverage * Math.hypot(pressedM.uncertainty, air.uncertainty)) {
    return { ...common, verdict: 'lower', because: lessThanModel(air, expected, system) };
  }
  return coverage * air.uncertainty > looseM.value
    ? { ...common, verdict: 'not-comparable', because: filmTooSmall(air, expected, system) }
    : { ...common, verdict: 'agrees', because: asModelled(air, expected, system) };
}

type Expected = NonNullable<FilmComparison['expected']>;

function expectedAir(film: Known, model: FilmToCompare): Expected {
  const ambientPa = positive('ambientPressurePa', model.ambientPressurePa ?? standardAtmospherePa, 'Pa');
  if (film.value < 0) throw new RangeError(`filmM: a number >= 0 m is needed, got ${film.value} m`);
  const pressure = model.woundInPressurePa;
  const pressed = pressure.kind === 'known' ? pressure : known(highestPressurePa);
  if (pressed.value < 0)
    throw new RangeError(`woundInPressurePa: a number >= 0 Pa is needed, got ${pressed.value} Pa`);
  const ratio = ambientPa / (ambientPa + pressed.value);
  const pressedM = film.value * ratio;
  const fromPressure = (pressedM * pressed.uncertainty) / (ambientPa + pressed.value);
  return { pressedM: known(pressedM, Math.hypot(film.uncertainty * ratio, fromPressure)), looseM: film };
}

/** Anywhere between the two is as likely (JCGM 100:2008, 4.3.7). */
function differenceOf(air: Known, { pressedM, looseM }: Expected): Known {
  const width = looseM.value - pressedM.value;
  const ofModel = (pressedM.uncertainty + looseM.uncertainty) / 2;
  return known(
    air.value - (pressedM.value + looseM.value) / 2,
    Math.hypot(air.uncertainty, ofModel, width / Math.sqrt(12)),
  );
}

function notComparable(because: Reason, expected: FilmComparison['expected']): FilmComparison {
  return { verdict: 'not-comparable', because, expected, differenceM: unknown(because) };
}

function moreThanModel(air: Known, expected: Expected, system: DisplaySystem): Reason {
  const text = `${compared(air, expected, system)}: the nip may hold back less air than reckoned, or the caliper is more than stated`;
  return reason('more-air-than-model', text, figures(air, expected));
}

function lessThanModel(air: Known, expected: Expected, system: DisplaySystem): Reason {
  const text = `${compared(air, expected, system)}: air leaks out, the roll is pressed more than reckoned, or the caliper is less than stated`;
  return reason('less-air-than-model', text, figures(air, expected));
}

function filmTooSmall(air: Known, expected: Expected, system: DisplaySystem): Reason {
  const text = `${compared(air, expected, system)}: measured no closer than ${film(air.uncertainty, system)}, it cannot tell this film from none`;
  return reason('film-below-uncertainty', text, figures(air, expected));
}

function asModelled(air: Known, expected: Expected, system: DisplaySystem): Reason {
  return reason('air-as-modelled', compared(air, expected, system), figures(air, expected));
}

function compared(air: Known, { pressedM, looseM }: Expected, system: DisplaySystem): string {
  return `air measured ${film(air.value, system)}, expected ${film(pressedM.value, system)} to ${film(looseM.value, system)}`;
}

function figures(air: Known, { pressedM, looseM }: Expected): Reason['params'] {
  return { airM: air.value, uncertaintyM: air.uncertainty, pressedM: pressedM.value, looseM: looseM.value };
}

function film(thicknessM: number, system: DisplaySystem): string {
  const { number, unit } = display('film', thicknessM, system);
  return `${number} ${unit}`;
}
