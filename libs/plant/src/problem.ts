/** One thing that is wrong (error) or suspicious (warning) in a plant file, with its place in the text. */
export interface PlantProblem {
  readonly severity: 'error' | 'warning';
  /** Counts from 1. */
  readonly line: number;
  /** Counts from 1, in UTF-16 code units. */
  readonly column: number;
  /** `areas[0].lines[0].winders[1].name`; empty for the file as a whole. */
  readonly path: string;
  /** What stands there, shortened. */
  readonly value: string;
  /** What is expected there, in words with unit and range. */
  readonly expected: string;
}

/** Keys and list positions from the top of the file. */
export type Path = readonly (string | number)[];

/** A problem before it has its place in the text. */
export interface Finding {
  readonly severity: PlantProblem['severity'];
  readonly path: Path;
  /** Whether the key itself is at fault or what stands under it. */
  readonly at: 'key' | 'value';
  /** Where it stands, if its path does not tell: the same key a second time. */
  readonly offset?: number;
  readonly value: string;
  readonly expected: string;
}

/** A problem: the file cannot be used. */
export const error = (path: Path, value: string, expected: string): Finding => ({
  severity: 'error',
  path,
  at: 'value',
  value,
  expected,
});

/** A warning: the file can be used, but this is probably not meant. */
export const warning = (path: Path, value: string, expected: string): Finding => ({
  severity: 'warning',
  path,
  at: 'value',
  value,
  expected,
});

/** The path as people read it; keys that are no plain words stand in brackets. */
export function pathText(path: Path): string {
  return path.reduce<string>((text, step) => {
    if (typeof step === 'number') return `${text}[${step}]`;
    if (!/^\w[\w-]{0,59}$/.test(step)) return `${text}[${quoted(step)}]`;
    return text === '' ? step : `${text}.${step}`;
  }, '');
}

/** What stands in the file, shortened to one short line. */
export function valueText(value: unknown): string {
  if (value === null || value === undefined) return 'nothing';
  if (typeof value === 'string') return quoted(value);
  if (typeof value === 'number' || typeof value === 'boolean') return `${value}`;
  return Array.isArray(value) ? `a list of ${value.length}` : `a map of ${Object.keys(value).length}`;
}

function quoted(text: string): string {
  const longest = 60;
  return text.length <= longest ? JSON.stringify(text) : `${JSON.stringify(text.slice(0, longest))}...`;
}

/** Text with control characters and writing-direction overrides made visible: it may be shown in a terminal. */
export function visible(text: string): string {
  return text.replaceAll(
    /[\u0000-\u001f\u007f-\u009f\u2028-\u202e\u2066-\u2069]/g,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}
