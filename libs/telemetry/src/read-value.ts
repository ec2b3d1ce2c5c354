import { type Reason, reason, toSi } from '@edge-margin/units';
import type { ResolvedSignal } from './compiled-sources.js';
import { possibleRanges } from './possible-range.js';
import { hasInvisible, shownValue } from './visible-text.js';

export type ReadValue =
  | { readonly ok: true; readonly value: number | string; readonly uncertainty: number }
  | { readonly ok: false; readonly because: Reason };

/**
 * The value of a signal in SI, from what stands at its place in the message.
 *
 * `SI value = toSi(sign x (factor x number + offset), unit) / width`, the width only for totals. Numbers may be written as text that is a decimal
 * number and nothing else (some gateways quote all they send); a decimal comma, `NaN` and the like are refused. `true` and `false` stand for
 * 1 and 0 of the signal `winding` only. Text signals take text, or a whole number as its digits.
 * @param raw the JSON value; undefined where nothing stands there
 */
export function readValue(raw: unknown, resolved: ResolvedSignal): ReadValue {
  if (raw === undefined) return refused('field-missing', resolved, 'is missing');
  if (raw === null) return refused('value-null', resolved, 'is null');
  if (typeof raw === 'object') return refused('value-no-scalar', resolved, `is ${shownValue(raw)}`);
  return resolved.compiled.value === 'text' ? readText(raw, resolved) : readNumber(raw, resolved);
}

/** A decimal number as gateways print it: `12.5`, `+3`, `.5`, `1e3`. */
const decimal = /^[+-]?(\d{1,40}\.?\d{0,40}|\.\d{1,40})(e[+-]?\d{1,4})?$/i;

function readNumber(raw: unknown, resolved: ResolvedSignal): ReadValue {
  if (typeof raw === 'number') return scaled(raw, raw, resolved);
  if (typeof raw === 'string') {
    const text = raw.trim();
    if (decimal.test(text)) return scaled(Number(text), raw, resolved);
    return isFlag(resolved) && (text === 'true' || text === 'false')
      ? scaled(Number(text === 'true'), raw, resolved)
      : notANumber(raw, resolved);
  }
  if (typeof raw === 'boolean' && isFlag(resolved)) return scaled(Number(raw), raw, resolved);
  return refused('value-boolean', resolved, `is ${shownValue(raw)}`);
}

function scaled(number: number, raw: unknown, resolved: ResolvedSignal): ReadValue {
  const { mapping, unit, signal, siUnit } = resolved.compiled;
  const { factor, offset, sign, plausible, uncertainty, uncertaintyRatio } = mapping;
  if (!Number.isFinite(number)) return refused('value-not-finite', resolved, 'is too large a number');
  const value = toSi(sign * (factor * number + offset), unit) / resolved.perWidthM;
  const possible = possibleRanges[signal] ?? { min: -Infinity, max: Infinity };
  if (!(value >= possible.min && value <= possible.max)) {
    const range = `${possible.min} to ${possible.max} ${siUnit}`;
    return outside('value-impossible', `for ${signal}, ${range} is possible at all`, raw, value, resolved);
  }
  if (isFlag(resolved) && value !== 0 && value !== 1) {
    return outside('value-impossible', `for ${signal}, 0 or 1 is possible`, raw, value, resolved);
  }
  if (plausible !== undefined && !(value >= plausible.min && value <= plausible.max)) {
    const range = `${plausible.min} to ${plausible.max} ${siUnit}`;
    return outside('value-implausible', `the plant file takes ${range} for plausible`, raw, value, resolved);
  }
  return { ok: true, value, uncertainty: combined(uncertainty, uncertaintyRatio * value) };
}

/** Independent parts add in quadrature (JCGM 100:2008, 5.1.2). */
function combined(fixed: number, proportional: number): number {
  if (proportional === 0) return fixed;
  return fixed === 0 ? Math.abs(proportional) : Math.sqrt(fixed ** 2 + proportional ** 2);
}

const longestText = 64;

function readText(raw: unknown, resolved: ResolvedSignal): ReadValue {
  const text = typeof raw === 'number' && Number.isSafeInteger(raw) ? String(raw) : raw;
  if (typeof text !== 'string') return refused('value-not-text', resolved, `is ${shownValue(raw)}`);
  const value = text.trim();
  if (value === '') return refused('text-empty', resolved, 'is empty');
  if (value.length > longestText)
    return refused('text-too-long', resolved, `has ${value.length} characters, more than ${longestText}`);
  if (hasInvisible(value))
    return refused(
      'text-invisible',
      resolved,
      `is ${shownValue(value)}, with characters that cannot be seen`,
    );
  return { ok: true, value, uncertainty: 0 };
}

function notANumber(raw: string, resolved: ResolvedSignal): ReadValue {
  const text = raw.trim();
  if (/^[+-]?(nan|inf|infinity|1\.#\w+)$/i.test(text))
    return refused('value-nan', resolved, `is ${shownValue(raw)}`);
  if (text === 'true' || text === 'false') return refused('value-boolean', resolved, `is ${shownValue(raw)}`);
  const comma = /^[+-]?\d+,\d+$/.test(text) ? ', written with a decimal comma' : '';
  return refused('value-not-a-number', resolved, `is ${shownValue(raw)}${comma}`);
}

function isFlag({ compiled }: ResolvedSignal): boolean {
  return compiled.signal === 'winding';
}

function outside(
  code: string,
  why: string,
  raw: unknown,
  value: number,
  resolved: ResolvedSignal,
): ReadValue {
  const { unit, siUnit } = resolved.compiled;
  const given = `${shownValue(raw)}${unit === '1' ? '' : ` ${unit}`}`;
  const scale =
    String(value) === String(raw) && unit === siUnit ? '' : `, ${Number(value.toPrecision(4))} ${siUnit}`;
  const text = `${fieldName(resolved)} is ${given}${scale}: ${why}`;
  return { ok: false, because: reason(code, text, { ...paramsOf(resolved), value: shownValue(raw) }) };
}

/** One sentence: which field, what is the matter, what would be right. */
function refused(code: string, resolved: ResolvedSignal, what: string): ReadValue {
  const text = `${fieldName(resolved)} ${what}: ${wanted(resolved)} is needed for ${resolved.compiled.signal}`;
  return { ok: false, because: reason(code, text, paramsOf(resolved)) };
}

function wanted(resolved: ResolvedSignal): string {
  const { value, unit } = resolved.compiled;
  if (value === 'text') return `text of at most ${longestText} characters`;
  if (isFlag(resolved)) return '0 or 1';
  return unit === '1' ? 'a number with a decimal point' : `a number in ${unit} with a decimal point`;
}

function fieldName({ compiled }: ResolvedSignal): string {
  return compiled.pointer.text === '' ? 'the value' : compiled.pointer.text;
}

function paramsOf({ compiled }: ResolvedSignal): Reason['params'] {
  return { pointer: compiled.pointer.text, signal: compiled.signal, unit: compiled.unit };
}
