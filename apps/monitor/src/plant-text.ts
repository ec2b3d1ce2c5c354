import { readPlant } from '@edge-margin/plant';
import { subscriptions } from '@edge-margin/telemetry';
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import type { Logger } from 'pino';
import { expectedSources } from './ingest/expected-sources.js';
import type { ExpectedSource } from './ingest/source-watch.js';
import { SettingsError } from './settings/settings-error.js';

/** The plant file as text, with what the start needs of it before it is folded from the journal. */
export interface PlantText {
  readonly text: string;
  readonly revision: string;
  readonly siteId: string;
  readonly filters: readonly string[];
  readonly expected: readonly ExpectedSource[];
}

/**
 * Reads and checks the plant file; what is merely suspicious goes to the log.
 * @throws SettingsError where it cannot be read or has problems.
 */
export function readPlantText(path: string, log: Logger): PlantText {
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error) {
    throw new SettingsError(
      `PLANT_FILE: "${path}" was given, but it cannot be read (${(error as Error).message}); a readable plant file is needed`,
    );
  }
  const read = readPlant(text);
  for (const { line, path: at, expected } of read.warnings) log.warn({ line, at }, `plant file: ${expected}`);
  if (!read.ok) {
    const [first] = read.problems;
    const where = first === undefined ? '' : `line ${first.line}, ${first.path}: ${first.expected}; `;
    throw new SettingsError(
      `PLANT_FILE: "${path}" has ${read.problems.length} problems (${where}all of them: npm run --silent cli -- check ${path})`,
    );
  }
  const revision = createHash('sha256').update(text).digest('hex').slice(0, 12);
  return {
    text,
    revision,
    siteId: read.plant.site.id,
    filters: subscriptions(read.plant),
    expected: expectedSources(read.plant),
  };
}
