import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { drawScenario, readFamily } from '../families/draw-scenario.js';
import { problemText } from '../scenario/read-scenario.js';
import type { Scenario } from '../scenario/scenario-schema.js';

/** Folder of the scenarios that come with the simulator. */
const SCENARIOS = fileURLToPath(new URL('../../scenarios/', import.meta.url));

export type ScenarioOpening =
  | { readonly ok: true; readonly scenario: Scenario }
  | { readonly ok: false; readonly lines: readonly string[] };

/**
 * Reads a scenario by its path or, if there is none, by its name among the scenarios that come with the simulator.
 * @param seed draws what the file leaves open, 0 to 4294967295
 */
export function openScenario(name: string, seed = 1): ScenarioOpening {
  const path = [name, `${SCENARIOS}${name}`].find((candidate) => existsSync(candidate));
  if (path === undefined)
    return { ok: false, lines: [`--scenario: no file "${name}", neither here nor in ${SCENARIOS}`] };
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error) {
    return { ok: false, lines: [`--scenario: ${(error as Error).message}`] };
  }
  const family = readFamily(text);
  const reading = family.ok ? drawScenario(family.family, seed) : family;
  if (reading.ok) return reading;
  return { ok: false, lines: reading.problems.map((problem) => problemText(name, problem)) };
}
