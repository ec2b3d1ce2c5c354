import { parseArgs } from 'node:util';

/** What the command line asked for. */
export interface Options {
  readonly scenario: string;
  readonly seed: number;
  readonly speedUp: number;
  /** Begin of the run, epoch ms; `undefined`: now, or for files a fixed instant. */
  readonly startMs: number | undefined;
  readonly durationS: number;
  readonly target:
    | { readonly kind: 'mqtt'; readonly url: string }
    | { readonly kind: 'files'; readonly directory: string }
    | { readonly kind: 'schema' }
    | { readonly kind: 'family-schema' };
}

export type OptionsReading =
  { readonly ok: true; readonly options: Options } | { readonly ok: false; readonly text: string };

const USUAL_BROKER = 'mqtt://127.0.0.1:1883';

export const USAGE =
  'simulate [--scenario demo.yaml] [--seed 1] [--start RFC3339] [--duration S] ' +
  `([--mqtt ${USUAL_BROKER}] [--speed-up 1] | --out DIR | --schema | --family-schema)`;

/** Reads the command line; the first thing wrong with it comes back as one line: option, what was given, what is right. */
export function readOptions(args: readonly string[]): OptionsReading {
  try {
    const { values } = parseArgs({
      args: [...args],
      strict: true,
      allowPositionals: false,
      options: {
        scenario: { type: 'string', default: 'demo.yaml' },
        seed: { type: 'string', default: '1' },
        'speed-up': { type: 'string', default: '1' },
        start: { type: 'string' },
        duration: { type: 'string' },
        mqtt: { type: 'string' },
        out: { type: 'string' },
        schema: { type: 'boolean', default: false },
        'family-schema': { type: 'boolean', default: false },
      },
    });
    const target = targetOf(values);
    return {
      ok: true,
      options: {
        scenario: values.scenario,
        seed: number(
          '--seed',
          values.seed,
          (n) => Number.isInteger(n) && n >= 0 && n <= 0xffffffff,
          'a whole number from 0 to 4294967295',
        ),
        speedUp: number(
          '--speed-up',
          values['speed-up'],
          (n) => n > 0 && n <= 10000,
          'a number above 0, at most 10000',
        ),
        startMs: values.start === undefined ? undefined : instant(values.start),
        durationS: duration(values.duration, target.kind),
        target,
      },
    };
  } catch (error) {
    if (!(error instanceof Error)) throw error;
    return { ok: false, text: error.message.split('\n')[0] as string };
  }
}

interface Targets {
  readonly mqtt?: string;
  readonly out?: string;
  readonly schema: boolean;
  readonly 'family-schema': boolean;
}

function targetOf({ mqtt, out, schema, 'family-schema': familySchema }: Targets): Options['target'] {
  const given = [mqtt !== undefined, out !== undefined, schema, familySchema].filter(Boolean).length;
  if (given > 1) throw new Error('give at most one of --mqtt URL, --out DIR, --schema and --family-schema');
  if (schema) return { kind: 'schema' };
  if (familySchema) return { kind: 'family-schema' };
  if (out !== undefined) return { kind: 'files', directory: out };
  return { kind: 'mqtt', url: brokerUrl(mqtt ?? USUAL_BROKER) };
}

function brokerUrl(text: string): string {
  const isBroker =
    URL.canParse(text) && /^(mqtts?|wss?):$/.test(new URL(text).protocol) && new URL(text).hostname !== '';
  if (!isBroker) throw new Error(`--mqtt: "${text}" is not a broker, e.g. mqtt://127.0.0.1:1883`);
  return text;
}

function duration(text: string | undefined, kind: Options['target']['kind']): number {
  if (text !== undefined) return number('--duration', text, (n) => n > 0 && n <= 1e9, 'seconds above 0');
  if (kind === 'files') throw new Error('--duration: needed with --out, in seconds of simulated time');
  return Infinity;
}

function number(option: string, text: string, isGood: (n: number) => boolean, right: string): number {
  const value = text.trim() === '' ? NaN : Number(text);
  if (!Number.isFinite(value) || !isGood(value)) throw new Error(`${option}: "${text}" is not ${right}`);
  return value;
}

function instant(text: string): number {
  const isRfc3339 = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)$/.test(text);
  const ms = isRfc3339 ? Date.parse(text) : NaN;
  if (Number.isNaN(ms))
    throw new Error(`--start: "${text}" is not an RFC 3339 instant, e.g. 2026-01-05T06:00:00Z`);
  return ms;
}
