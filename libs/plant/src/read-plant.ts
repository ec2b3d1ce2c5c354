import { checkCoverage } from './check-coverage.js';
import { checkGrades } from './check-grades.js';
import { checkIds } from './check-ids.js';
import { checkLimits } from './check-limits.js';
import { checkMappings } from './check-mappings.js';
import { checkSources } from './check-sources.js';
import { checkWinders } from './check-winders.js';
import { parseYaml } from './parse-yaml.js';
import { plantParts } from './plant-parts.js';
import type { PlantProblem } from './problem.js';
import { schemaFindings } from './schema-findings.js';
import { type PlantFile, plantSchema } from './schema.js';

/** A plant file that can be used, perhaps with warnings; or everything that is wrong with it. Both lists in the order of the text. */
export type PlantReading =
  | { readonly ok: true; readonly plant: PlantFile; readonly warnings: readonly PlantProblem[] }
  | {
      readonly ok: false;
      readonly problems: readonly PlantProblem[];
      readonly warnings: readonly PlantProblem[];
    };

/** Checks across the parts of a file. To add one, add a function here. */
const checks = [checkIds, checkGrades, checkWinders, checkSources, checkMappings, checkCoverage, checkLimits];

/**
 * Reads a plant file and checks it whole: syntax, schema, and what its parts say of one another.
 * A fault in one part does not hide those of another. Never throws, whatever the text.
 * @param text the file's text: YAML 1.2, UTF-8 already decoded, up to 500 000 characters.
 */
export function readPlant(text: string): PlantReading {
  const yaml = parseYaml(text);
  if (!yaml.ok) return { ok: false, problems: yaml.problems, warnings: [] };
  const { content, findings: ofYaml, locate } = yaml.file;
  const parts = plantParts(content);
  const findings = [...ofYaml, ...schemaFindings(content), ...checks.flatMap((check) => check(parts))];
  const found = inTextOrder(findings.map(locate));
  const problems = found.filter(({ severity }) => severity === 'error');
  const warnings = found.filter(({ severity }) => severity === 'warning');
  const parsed = plantSchema.safeParse(content);
  return parsed.success && problems.length === 0
    ? { ok: true, plant: parsed.data, warnings }
    : { ok: false, problems, warnings };
}

/** In the order of the text, each only once: a source's fault can be met again at each of its signals. */
function inTextOrder(problems: readonly PlantProblem[]): readonly PlantProblem[] {
  const once = new Map(problems.map((problem) => [JSON.stringify(problem), problem]));
  return [...once.values()].sort((a, b) => a.line - b.line || a.column - b.column);
}
