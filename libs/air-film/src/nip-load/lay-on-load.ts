import {
  type DisplaySystem,
  known,
  type Known,
  type Quantity,
  type Reason,
  reason,
  unknown,
} from '@edge-margin/units';
import { inRange } from '../in-range.js';
import { forceInWords } from '../in-words.js';
import { type LayOnEnd, layOnForce } from './lay-on-end.js';

/** A lay-on roller whose nip load is not measured. */
export interface LayOnRoller {
  readonly tending: LayOnEnd;
  readonly drive: LayOnEnd;
  /** Width of web under the nip, m: the sum of the slit widths at this station, not the face of the roller. */
  readonly contactWidthM: number;
  /** Units of the sentence; metric if left out. */
  readonly display?: DisplaySystem;
}

/** What presses the lay-on roller on the roll. */
export interface LayOnLoad {
  readonly tendingForceN: Quantity;
  readonly driveForceN: Quantity;
  /** Load per contact width, N/m; 0 where the nip is open, unknown where one end is lifted. */
  readonly loadNPerM: Quantity;
  /** Whether the nip presses: `in doubt` where a force is within two standard uncertainties of nothing. */
  readonly contact: 'closed' | 'in doubt' | 'open' | 'one end open' | 'unknown';
  /** Why it is not simply closed. */
  readonly because?: Reason;
}

/**
 * Nip load of a lay-on roller from the pressure of its cylinders, lever, weight and friction, see {@link layOnForce}: `w = (F_tending + F_drive)/contact width`.
 *
 * The uncertainties of the ends are added, not squared: both hang on the same supply and move the same way. A negative force means that the roller hangs away from the roll: the nip is open and its
 * load 0. A load that a cell measures is better; this one does not see a stuck guide or a pressure lost on the way to the cylinder.
 * @throws RangeError if a dimension makes no sense.
 */
export function layOnLoad({ tending, drive, contactWidthM, display = 'metric' }: LayOnRoller): LayOnLoad {
  inRange({ name: 'contactWidthM', value: contactWidthM, unit: 'm', low: 1e-3, high: 20 });
  const forces = { tendingForceN: layOnForce(tending), driveForceN: layOnForce(drive) };
  const { tendingForceN: first, driveForceN: second } = forces;
  if (first.kind === 'unknown')
    return { ...forces, loadNPerM: first, contact: 'unknown', because: first.because };
  if (second.kind === 'unknown')
    return { ...forces, loadNPerM: second, contact: 'unknown', because: second.because };
  const uncertainty = (first.uncertainty + second.uncertainty) / contactWidthM;
  const contact = contactOf(first, second);
  const because = whyNotClosed(contact, { first, second }, display);
  return {
    ...forces,
    loadNPerM: loadIn(contact, (first.value + second.value) / contactWidthM, uncertainty, because),
    contact,
    ...(because === undefined ? {} : { because }),
  };
}

type Contact = Exclude<LayOnLoad['contact'], 'unknown'>;

function contactOf(first: Known, second: Known): Contact {
  if (first.value <= 0 && second.value <= 0) return 'open';
  if (first.value <= 0 || second.value <= 0) return 'one end open';
  const clear = (force: Known) => force.value > 2 * force.uncertainty;
  return clear(first) && clear(second) ? 'closed' : 'in doubt';
}

function loadIn(
  contact: Contact,
  loadNPerM: number,
  uncertainty: number,
  because: Reason | undefined,
): Quantity {
  if (contact === 'open') return known(0, uncertainty);
  if (contact === 'one end open' && because !== undefined) return unknown(because);
  return known(loadNPerM, uncertainty);
}

function whyNotClosed(
  contact: Contact,
  { first, second }: { readonly first: Known; readonly second: Known },
  system: DisplaySystem,
): Reason | undefined {
  if (contact === 'closed') return undefined;
  const params = { tendingForceN: first.value, driveForceN: second.value };
  const figures = `${forceInWords(first.value, system)} at the tending side, ${forceInWords(second.value, system)} at the drive side`;
  if (contact === 'open')
    return reason('nip-open', `by pressure and weight the nip is open: ${figures}`, params);
  if (contact === 'one end open') {
    return reason(
      'nip-one-end-open',
      `by pressure and weight one end of the nip is lifted: ${figures}`,
      params,
    );
  }
  return reason('nip-contact-in-doubt', `friction alone may hold the nip open: ${figures}`, params);
}
