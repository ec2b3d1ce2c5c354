import { isMap, isNode, isPair, isSeq, LineCounter, parseDocument, type Document } from 'yaml';
import type { z } from 'zod';
import { type Found, machineProblems, type Path } from './machine-problems.js';
import { type Scenario, scenarioSchema } from './scenario-schema.js';

/** What is wrong with a scenario file, and where (line and column from 1). */
export interface ScenarioProblem {
  readonly line: number;
  readonly column: number;
  readonly path: string;
  readonly text: string;
}

export type ScenarioReading =
  | { readonly ok: true; readonly scenario: Scenario }
  | { readonly ok: false; readonly problems: readonly ScenarioProblem[] };

/** Where the parts of a YAML text stand in it. */
export interface Layout {
  readonly document: Document;
  readonly lines: LineCounter;
}

/** The content of a YAML text, or what is wrong with its syntax. */
export function readYaml(
  text: string,
):
  | { readonly ok: true; readonly layout: Layout; readonly tree: unknown }
  | { readonly ok: false; readonly problems: readonly ScenarioProblem[] } {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, merge: true });
  const syntax = document.errors.map((error) => ({
    ...position(lines, error.pos[0]),
    path: '',
    text: (error.message.split('\n')[0] as string).replace(/ at line \d+, column \d+:?$/, ''),
  }));
  if (syntax.length > 0) return { ok: false, problems: syntax };
  return { ok: true, layout: { document, lines }, tree: document.toJS() as unknown };
}

/** Reads a scenario from YAML text: syntax, then keys and ranges, then whether such a machine can be and can be computed. */
export function readScenario(text: string): ScenarioReading {
  const yaml = readYaml(text);
  if (!yaml.ok) return yaml;
  const parsed = scenarioSchema.safeParse(yaml.tree);
  const found = parsed.success ? machineProblems(parsed.data) : parsed.error.issues.flatMap(told);
  if (parsed.success && found.length === 0) return { ok: true, scenario: parsed.data };
  return { ok: false, problems: found.map((one) => located(one, yaml.layout)) };
}

/** One line a problem, as an editor can jump to it. */
export function problemText(file: string, problem: ScenarioProblem): string {
  const where = problem.path === '' ? '' : `${problem.path}: `;
  return `${file}:${problem.line}:${problem.column}: ${where}${problem.text}`;
}

/** What a schema's complaint says, by path. */
export function told(issue: z.core.$ZodIssue): readonly Found[] {
  const path = issue.path as Path;
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.map((key) => ({ path: [...path, key], text: 'unknown key' }));
  }
  if (issue.code === 'invalid_union' && issue.errors.length > 0) return closestBranch(issue.errors, path);
  return [{ path, text: issue.message }];
}

/** Of a choice between shapes, speaks about the one that fits best: the fewest unknown keys, then the fewest complaints. */
function closestBranch(branches: readonly (readonly z.core.$ZodIssue[])[], path: Path): readonly Found[] {
  const unfit = (branch: readonly z.core.$ZodIssue[]): number =>
    branch.reduce(
      (sum, issue) => sum + (issue.code === 'unrecognized_keys' ? 100 * issue.keys.length : 1),
      0,
    );
  const best = [...branches].sort((a, b) => unfit(a) - unfit(b))[0] ?? [];
  return best.flatMap(told).map((one) => ({ path: [...path, ...one.path], text: one.text }));
}

/** Where in the text something was found. */
export function located(found: Found, { document, lines }: Layout): ScenarioProblem {
  return { ...position(lines, offsetOf(document, found.path)), path: pathText(found.path), text: found.text };
}

/** Where the path stands in the text; where it leads to nothing, where its nearest parent stands. */
function offsetOf(document: Document, path: Path): number {
  let node: unknown = document.contents;
  let offset = 0;
  for (const step of path) {
    const pair = isMap(node)
      ? node.items.find((p) => isPair(p) && String(p.key) === String(step))
      : undefined;
    const item = isSeq(node) && typeof step === 'number' ? node.items[step] : undefined;
    if (pair === undefined && item === undefined) return offset;
    node = pair === undefined ? item : pair.value;
    const mark = pair === undefined ? item : pair.key;
    offset = isNode(mark) ? (mark.range?.[0] ?? offset) : offset;
  }
  return offset;
}

function pathText(path: Path): string {
  return path.reduce<string>((text, step) => {
    if (typeof step === 'number') return `${text}[${step}]`;
    return text === '' ? step : `${text}.${step}`;
  }, '');
}

function position(lines: LineCounter, offset: number): { readonly line: number; readonly column: number } {
  const { line, col } = lines.linePos(offset);
  return { line: Math.max(1, line), column: Math.max(1, col) };
}
