import { type Document, type ErrorCode, LineCounter, parseDocument } from 'yaml';
import { type Finding, type PlantProblem, pathText, valueText, visible } from './problem.js';
import { deepestNesting, tooDeepAt } from './too-deep.js';
import { yamlPlaces } from './yaml-places.js';

/** Longest plant file, characters: room for some hundred winders. */
const longestPlantFile = 500_000;
/** Most references (`*name`) in a file. They copy what they refer to; nested ones copy it without bounds. */
const mostReferences = 1000;

/** The file as YAML understands it. */
interface YamlFile {
  /** Its content as plain values; where a key stands twice the last one counts. */
  readonly content: unknown;
  /** Keys that stand twice in one map. */
  readonly findings: readonly Finding[];
  /** Gives a finding its line and column. */
  readonly locate: (finding: Finding) => PlantProblem;
}

type YamlReading =
  | { readonly ok: true; readonly file: YamlFile }
  | { readonly ok: false; readonly problems: readonly PlantProblem[] };

/**
 * Reads text as one YAML document (YAML 1.2.2, core schema), without tags and with a bounded number of references.
 * Never throws: whatever the text, the answer is a file or the problems.
 */
export function parseYaml(text: string): YamlReading {
  if (text.length > longestPlantFile) {
    return refused(
      start,
      `${text.length} characters`,
      `a plant file of at most ${longestPlantFile} characters`,
    );
  }
  try {
    return parse(text);
  } catch (thrown) {
    // The YAML library throws on exploding references.
    const why = thrown instanceof Error ? firstLine(thrown.message) : String(thrown);
    return refused(start, 'the file', `YAML that can be resolved: ${why}`);
  }
}

function parse(text: string): YamlReading {
  const lines = new LineCounter();
  const place = (offset: number): Place => {
    const { line, col } = lines.linePos(offset);
    return { line: Math.max(1, line), column: Math.max(1, col) };
  };
  const deep = tooDeepAt(text, lines);
  if (deep !== undefined)
    return refused(place(deep), 'more nesting', `at most ${deepestNesting} levels of nesting`);
  const document = parseDocument(text, {
    prettyErrors: false,
    schema: 'core',
    stringKeys: true,
    // Looked for by yamlPlaces: the library compares every key with every other, which takes minutes on a large map.
    uniqueKeys: false,
  });
  const problems = syntaxProblems(document, text, place);
  if (problems.length > 0) return { ok: false, problems };
  const { findings, aliasCount, offsetOf } = yamlPlaces(document);
  if (aliasCount > mostReferences) {
    return refused(start, `${aliasCount} references`, `at most ${mostReferences} references (*name)`);
  }
  const locate = (finding: Finding): PlantProblem => ({
    severity: finding.severity,
    ...place(offsetOf(finding)),
    path: visible(pathText(finding.path)),
    value: visible(finding.value),
    expected: visible(finding.expected),
  });
  // A reference to nothing leaves a hole in the content, so nothing more can be said of it.
  if (findings.some(({ at }) => at === 'value')) return { ok: false, problems: findings.map(locate) };
  const content: unknown = document.toJS({ maxAliasCount: 100 });
  return { ok: true, file: { content, findings, locate } };
}

type Place = Pick<PlantProblem, 'line' | 'column'>;
const start: Place = { line: 1, column: 1 };

/** What the library found wrong with the syntax: the first fault of each line, as the rest of a line mostly follows from it. */
function syntaxProblems(document: Document, text: string, place: (offset: number) => Place): PlantProblem[] {
  const ofLine = new Map<number, PlantProblem>();
  const { version, explicit } = document.directives?.yaml ?? {};
  if (explicit === true && version !== '1.2') {
    ofLine.set(1, problemAt(start, `YAML ${String(version)}`, 'YAML 1.2'));
  }
  for (const { pos, code, message } of [...document.errors, ...document.warnings]) {
    const found = place(pos[0]);
    if (ofLine.has(found.line)) continue;
    const lineStart = pos[0] - found.column + 1;
    const value = valueText(firstLine(text.slice(lineStart, lineStart + 200)).trim());
    ofLine.set(found.line, problemAt(found, value, inWords[code] ?? `valid YAML: ${firstLine(message)}`));
  }
  return [...ofLine.values()].sort((a, b) => a.line - b.line);
}

/** Where the library's own message speaks to programmers. */
const inWords: Partial<Record<ErrorCode, string>> = {
  MULTIPLE_DOCS: 'one document in the file',
  NON_STRING_KEY: 'plain words as keys',
  TAB_AS_INDENT: 'spaces for indentation instead of tabs',
  TAG_RESOLVE_FAILED: 'no tag (!...)',
};
const firstLine = (text: string): string => text.split('\n', 1)[0] ?? '';
const problemAt = (place: Place, value: string, expected: string): PlantProblem => ({
  severity: 'error',
  ...place,
  path: '',
  value: visible(value),
  expected: visible(expected),
});
const refused = (place: Place, value: string, expected: string): YamlReading => ({
  ok: false,
  problems: [problemAt(place, value, expected)],
});
