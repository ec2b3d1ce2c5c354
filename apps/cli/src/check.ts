import { parseArgs } from 'node:util';
import {
  type PlantProblem,
  type PlantReading,
  plantJsonSchema,
  readPlant,
  stationIndex,
} from '@edge-margin/plant';
import type { Command, CommandIo } from './command.js';

const usage = 'usage: check [--json] FILE (- reads standard input), or check --schema';

/** Checks a plant file: every problem, then every warning, then one line that sums up. Exit code 0 without problems, 1 with, 2 wrongly called. */
export const check: Command = {
  name: 'check',
  summary: 'check a plant file: check [--json] FILE, or check --schema for its JSON Schema',
  run: async (args, io) => {
    const asked = askedFor(args);
    if (typeof asked === 'string') {
      io.stderr(`${asked}\n${usage}\n`);
      return 2;
    }
    if (asked.schema) {
      io.stdout(`${JSON.stringify(plantJsonSchema(), null, 2)}\n`);
      return 0;
    }
    const reading = readPlant(await read(asked.file, io));
    io.stdout(asked.json ? inJson(asked.file, reading) : inText(asked.file, reading));
    return reading.ok ? 0 : 1;
  },
};

type Asked =
  { readonly schema: true } | { readonly schema: false; readonly json: boolean; readonly file: string };

/** What is asked for, or what is wrong with the way it is asked. */
function askedFor(args: readonly string[]): Asked | string {
  try {
    const { values, positionals } = parseArgs({
      args: [...args],
      options: { json: { type: 'boolean', default: false }, schema: { type: 'boolean', default: false } },
      allowPositionals: true,
    });
    const [file] = positionals;
    if (values.schema)
      return positionals.length === 0 && !values.json ? { schema: true } : '--schema stands alone';
    if (file === undefined || positionals.length > 1) return `one file is needed, got ${positionals.length}`;
    return { schema: false, json: values.json, file };
  } catch (thrown) {
    return thrown instanceof Error ? thrown.message : String(thrown);
  }
}

const read = (file: string, io: CommandIo): Promise<string> =>
  file === '-' ? io.stdin() : io.readFile(file);

/** Both kinds of findings, whether the file can be used or not. */
const found = (reading: PlantReading) => ({
  problems: reading.ok ? [] : reading.problems,
  warnings: reading.warnings,
});

function inJson(file: string, reading: PlantReading): string {
  return `${JSON.stringify({ file, ok: reading.ok, ...found(reading) }, null, 2)}\n`;
}

function inText(file: string, reading: PlantReading): string {
  const { problems, warnings } = found(reading);
  const lines = [...problems, ...warnings].map((problem) => inLine(file, problem));
  return [...lines, `${file}: ${summary(reading)}`, ''].join('\n');
}

function inLine(file: string, { line, column, severity, path, value, expected }: PlantProblem): string {
  return `${file}:${line}:${column} ${severity} ${path === '' ? '(file)' : path}: got ${value}, expected ${expected}`;
}

function summary(reading: PlantReading): string {
  const { problems, warnings } = found(reading);
  const counted = `${count(problems, 'problem')}, ${count(warnings, 'warning')}`;
  if (!reading.ok) return counted;
  const stations = [...stationIndex(reading.plant).values()];
  const winders = new Set(stations.map(({ winder }) => winder));
  const { grades, sources } = reading.plant;
  const holds = [
    count([...winders], 'winder'),
    count(stations, 'station'),
    count(grades, 'grade'),
    count(sources, 'source'),
  ];
  return `${counted}; ${holds.join(', ')}`;
}

const count = ({ length }: readonly unknown[], what: string): string =>
  `${length === 0 ? 'no' : length} ${what}${length === 1 ? '' : 's'}`;
