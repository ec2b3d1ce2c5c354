import { parseArgs } from 'node:util';
import { answerPoint } from '@edge-margin/air-film';
import { type QuestionText, splitQuestions } from './assess-input.js';
import { assessTable, type LineAnswer } from './assess-table.js';
import type { Command, CommandIo } from './command.js';

const usage =
  'usage: assess [--format json|table] [--exchange speed=32:nipLoad] FILE (- reads standard input; one operating point, or one a line)';

/** Assesses operating points. What cannot be assessed is reported, the others are answered. Exit code 0 if all were, 1 if not, 2 wrongly called. */
export const assess: Command = {
  name: 'assess',
  summary:
    'assess the entrained air at operating points: assess [--format json|table] [--exchange speed=32:nipLoad] FILE',
  run: async (args, io) => {
    const asked = askedFor(args);
    if (typeof asked === 'string') {
      io.stderr(`${asked}\n${usage}\n`);
      return 2;
    }
    const questions = splitQuestions(await read(asked.file, io));
    if (questions.length === 0) {
      io.stderr(`${asked.file}: no operating point\n`);
      return 1;
    }
    const answers = questions.flatMap((question) => answer(question, asked, io));
    if (answers.length > 0) io.stdout(asked.format === 'table' ? assessTable(answers) : inJson(answers));
    return answers.length === questions.length ? 0 : 1;
  },
};

interface Asked {
  readonly file: string;
  readonly format: 'json' | 'table';
  /** What every point is asked to trade, as the key `exchangeFor` of a request has it. */
  readonly exchangeFor: object | undefined;
}

/** What is asked for, or what is wrong with the way it is asked. */
function askedFor(args: readonly string[]): Asked | string {
  try {
    const { values, positionals } = parseArgs({
      args: [...args],
      options: { format: { type: 'string', default: 'json' }, exchange: { type: 'string' } },
      allowPositionals: true,
    });
    const [file] = positionals;
    if (file === undefined || positionals.length > 1) return `one file is needed, got ${positionals.length}`;
    const { format } = values;
    if (format !== 'json' && format !== 'table')
      return `--format: json or table is expected, got ${JSON.stringify(format)}`;
    const exchangeFor = values.exchange === undefined ? undefined : exchangeOf(values.exchange);
    if (typeof exchangeFor === 'string') return exchangeFor;
    return { file, format, exchangeFor };
  } catch (thrown) {
    return thrown instanceof Error ? thrown.message : String(thrown);
  }
}

/** `speed=32:nipLoad`: what the nip load has to be at 32 m/s for the same margin. Names and range are checked with the point. */
function exchangeOf(text: string): object | string {
  const parts = /^(\w+)=([-+.\de]+):(\w+)$/.exec(text);
  const [, changed, to, compensatedBy] = parts ?? [];
  return parts === null || Number.isNaN(Number(to))
    ? `--exchange: QUANTITY=VALUE:QUANTITY in SI units is expected, as in speed=32:nipLoad, got ${JSON.stringify(text)}`
    : { changed, to: Number(to), compensatedBy };
}

const read = (file: string, io: CommandIo): Promise<string> =>
  file === '-' ? io.stdin() : io.readFile(file);

/** The answer to one operating point, or none after its problems were reported. */
function answer(
  { line, parsed }: QuestionText,
  { exchangeFor, file }: Asked,
  io: CommandIo,
): readonly LineAnswer[] {
  const report = (problems: readonly string[]): readonly LineAnswer[] => {
    const place = line === undefined ? file : `${file}:${line}`;
    io.stderr(problems.map((problem) => `${place}: ${problem}\n`).join(''));
    return [];
  };
  if (!parsed.ok) return report([parsed.problem]);
  const { value } = parsed;
  const asksMore = exchangeFor !== undefined && typeof value === 'object' && value !== null;
  const answered = answerPoint(asksMore ? { ...value, exchangeFor } : value);
  if (!answered.ok) return report(answered.problems);
  return [line === undefined ? answered.answer : { line, ...answered.answer }];
}

/** One answer indented, several as JSON lines. */
function inJson(answers: readonly LineAnswer[]): string {
  if (answers.length === 1 && answers[0]?.line === undefined)
    return `${JSON.stringify(answers[0], null, 2)}\n`;
  return answers.map((each) => `${JSON.stringify(each)}\n`).join('');
}
