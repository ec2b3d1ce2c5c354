import { toSi } from '@edge-margin/units';
import { figure } from './figure.js';
import type { JsonSchema } from './json-schema.js';
import type { Path } from './problem.js';

/** Units in which people write a quantity whose key ends so, most particular ending first. */
const usual: readonly (readonly [ending: RegExp, units: readonly string[]])[] = [
  [/MPerPaS$/, ['um/(Pa.s)']],
  [/KgPerM2$/, ['g/m2']],
  [/MPerS$/, ['m/min', '[ft_i]/min']],
  [/NPerM$/, ['kN/m', '[lbf_av]/[in_i]']],
  [/Pa$/, ['kPa', 'MPa', 'GPa']],
  [/Kg$/, ['g', '[lb_av]']],
  [/EndN$/, ['kN']],
  [/Ratio$/, ['%']],
  [/M$/, ['mm', 'um', '[in_i]', '[mil_i]']],
  [/S$/, ['ms', 'min']],
];

/**
 * For a number outside its range: what it would be if it had been written in another usual unit, where that lies inside the range.
 * @returns text to append, empty where nothing fits. The key's ending names the SI unit: `caliperM: 60` could be 60 um.
 */
export function unitHint(
  path: Path,
  value: unknown,
  { minimum = -Infinity, maximum = Infinity }: JsonSchema,
): string {
  if (typeof value !== 'number') return '';
  // `value`, `min` and `max` stand under the key that carries the unit.
  const key = path.findLast((step) => typeof step === 'string' && !['value', 'min', 'max'].includes(step));
  const codes = usual.find(([ending]) => ending.test(String(key)))?.[1] ?? [];
  const fitting = codes
    .map((code) => ({ code, si: toSi(value, code) }))
    .filter(({ si }) => si >= minimum && si <= maximum);
  return fitting.length === 0
    ? ''
    : `; ${fitting.map(({ code, si }) => `${value} ${code} would be ${figure(si)}`).join(', ')}`;
}
