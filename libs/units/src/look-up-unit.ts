import { nearestWord } from './nearest-word.js';
import { type Unit, units } from './unit-table.js';

/** How people and machines commonly write a unit, against its UCUM code. Keys in lower case. */
const spellings: ReadonlyMap<string, string> = new Map(
  Object.entries({
    mpm: 'm/min',
    'mtr/min': 'm/min',
    'meter/min': 'm/min',
    mps: 'm/s',
    fpm: '[ft_i]/min',
    'ft/min': '[ft_i]/min',
    'feet/min': '[ft_i]/min',
    'ft/s': '[ft_i]/s',
    fps: '[ft_i]/s',
    'in/s': '[in_i]/s',
    ips: '[in_i]/s',
    'yd/min': '[yd_i]/min',
    in: '[in_i]',
    inch: '[in_i]',
    inches: '[in_i]',
    '"': '[in_i]',
    ft: '[ft_i]',
    feet: '[ft_i]',
    foot: '[ft_i]',
    yd: '[yd_i]',
    mil: '[mil_i]',
    mils: '[mil_i]',
    meter: 'm',
    metre: 'm',
    millimeter: 'mm',
    millimetre: 'mm',
    micron: 'um',
    microns: 'um',
    µm: 'um',
    μm: 'um',
    pli: '[lbf_av]/[in_i]',
    'lbf/in': '[lbf_av]/[in_i]',
    'lb/in': '[lbf_av]/[in_i]',
    'lbs/in': '[lbf_av]/[in_i]',
    plf: '[lbf_av]/[ft_i]',
    'lbf/ft': '[lbf_av]/[ft_i]',
    lbf: '[lbf_av]',
    lb: '[lbf_av]',
    lbs: '[lbf_av]',
    kp: 'kgf',
    newton: 'N',
    'm/s^2': 'm/s2',
    'm/s²': 'm/s2',
    'm/s/s': 'm/s2',
    'mm/s^2': 'mm/s2',
    'mm/s²': 'mm/s2',
    gee: '[g]',
    rpm: '{rev}/min',
    'rev/min': '{rev}/min',
    'r/min': '{rev}/min',
    'u/min': '{rev}/min',
    'rev/s': '{rev}/s',
    'r/s': '{rev}/s',
    cps: 'Hz',
    psi: '[psi]',
    '°c': 'Cel',
    degc: 'Cel',
    c: 'Cel',
    '°f': '[degF]',
    degf: '[degF]',
    gsm: 'g/m2',
    'g/m^2': 'g/m2',
    'g/m²': 'g/m2',
    percent: '%',
    pct: '%',
    ratio: '1',
    sec: 's',
    msec: 'ms',
    µs: 'us',
    μs: 'us',
  }),
);

export type UnitLookup =
  { readonly ok: true; readonly unit: Unit } | { readonly ok: false; readonly nearest: string | undefined };

/**
 * Finds a unit by its UCUM code; where the code is not supported, the nearest that is.
 * @param code case-sensitive UCUM code; annotations in braces carry no meaning (UCUM, section 1, "curly braces") and are passed over: `{rev}/min` is `/min`.
 */
export function lookUpUnit(code: string): UnitLookup {
  const unit = units.get(code) ?? units.get(code.replaceAll(/\{[^{}]*\}/g, '') || '1');
  if (unit !== undefined && code !== '') return { ok: true, unit };
  const plain = code.trim().replaceAll(/\s+/g, '');
  if (units.has(plain)) return { ok: false, nearest: plain };
  return { ok: false, nearest: spellings.get(plain.toLowerCase()) ?? nearestWord(plain, units.keys()) };
}
