import { type Found, machineProblems } from '../scenario/machine-problems.js';
import {
  type Layout,
  located,
  readYaml,
  type ScenarioProblem,
  type ScenarioReading,
  told,
} from '../scenario/read-scenario.js';
import { scenarioSchema } from '../scenario/scenario-schema.js';
import { distributionProblems, isSection } from './distribution-problems.js';
import { drawValues } from './draw-values.js';

/** A scenario file in which values are left open, as distributions; a scenario that leaves nothing open is one too. */
export interface Family {
  readonly layout: Layout;
  /** The file's content without `draws`. */
  readonly tree: unknown;
  /** Values that several places share, by name. */
  readonly draws: Readonly<Record<string, unknown>>;
}

export type FamilyReading =
  | { readonly ok: true; readonly family: Family }
  | { readonly ok: false; readonly problems: readonly ScenarioProblem[] };

/** Reads a family from YAML text: syntax, then every distribution. What is drawn is examined by `drawScenario`. */
export function readFamily(text: string): FamilyReading {
  const yaml = readYaml(text);
  if (!yaml.ok) return yaml;
  const { draws = {}, ...tree } = isSection(yaml.tree) ? yaml.tree : {};
  if (!isSection(draws))
    return {
      ok: false,
      problems: [located({ path: ['draws'], text: 'names and distributions' }, yaml.layout)],
    };
  const found = [
    ...distributionProblems(draws, [], ['draws']),
    ...distributionProblems(tree, Object.keys(draws), []),
  ];
  if (found.length > 0) return { ok: false, problems: found.map((one) => located(one, yaml.layout)) };
  return { ok: true, family: { layout: yaml.layout, tree: isSection(yaml.tree) ? tree : yaml.tree, draws } };
}

/**
 * The scenario that a seed draws from a family, examined like any other: keys, ranges, machines that can be, time steps.
 * @param seed whole number, 0 to 4294967295; the same family and seed give the same scenario
 */
export function drawScenario({ layout, tree, draws }: Family, seed: number): ScenarioReading {
  const shared = drawValues(draws, { seed, draws: {}, path: '/draws' }) as Readonly<Record<string, unknown>>;
  const drawn = drawValues(tree, { seed, draws: shared, path: '' });
  const parsed = scenarioSchema.safeParse(drawn);
  const found = parsed.success ? machineProblems(parsed.data) : parsed.error.issues.flatMap(told);
  if (parsed.success && found.length === 0) return { ok: true, scenario: parsed.data };
  return { ok: false, problems: found.map((one) => located(withDrawn(one, tree, drawn, seed), layout)) };
}

/** Says which value was drawn, where the file does not say it itself. */
function withDrawn(one: Found, tree: unknown, drawn: unknown, seed: number): Found {
  const value = at(drawn, one.path);
  const isGiven = value === at(tree, one.path) || (typeof value === 'object' && value !== null);
  return isGiven ? one : { ...one, text: `${one.text} (seed ${seed} draws ${JSON.stringify(value)})` };
}

function at(tree: unknown, path: Found['path']): unknown {
  return path.reduce<unknown>(
    (part, step) =>
      typeof part === 'object' && part !== null
        ? (part as Record<string | number, unknown>)[step]
        : undefined,
    tree,
  );
}
