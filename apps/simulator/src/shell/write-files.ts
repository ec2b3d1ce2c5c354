import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { happenings, type Run } from '../run.js';
import type { Scenario } from '../scenario/scenario-schema.js';
import { lineFile } from './line-file.js';
import { rollWriter } from './write-rolls.js';
import { tableWriter } from './write-tables.js';

/** How much was written. */
export interface FilesWritten {
  readonly telemetry: number;
  readonly truth: number;
  readonly people: number;
  readonly rolls: number;
}

const WRAPS_IN_PICTURE = 4000;

/**
 * Writes a run into a folder: `telemetry.jsonl` (arrival time, topic, payload as text, retained or not), `truth.jsonl`,
 * `people.jsonl` (what people say of the rolls that were finished), a table for import per station
 * (`<winder>-<station>.csv`) and a picture of both edges per finished roll (`rolls/`).
 */
export function writeFiles(run: Run, directory: string): FilesWritten {
  mkdirSync(directory, { recursive: true });
  const telemetry = lineFile(join(directory, 'telemetry.jsonl'));
  const truth = lineFile(join(directory, 'truth.jsonl'));
  const tables = tableWriter(run.scenario, directory);
  const rolls = rollWriter(run, directory);
  const tellsEdges = run.scenario.truth.edgesEveryWraps > 0;
  const scenario = tellsEdges ? run.scenario : withEdges(run.scenario);
  for (const happening of happenings({ ...run, scenario })) {
    if (happening.kind === 'truth') {
      rolls.add(happening.truth);
      if (tellsEdges || happening.truth.kind !== 'edges') truth.add(JSON.stringify(happening.truth));
    } else {
      tables.add(happening);
      telemetry.add(telemetryLine(happening));
    }
  }
  tables.close();
  return { telemetry: telemetry.close(), truth: truth.close(), ...rolls.close() };
}

/** The pictures need edges, also where the scenario does not ask for them in the truth. */
function withEdges(scenario: Scenario): Scenario {
  const wraps = scenario.winders.flatMap(({ stations }) =>
    stations.map(
      ({ coreDiameterM, grade, setEndDiameterM }) =>
        (setEndDiameterM - coreDiameterM) / 2 / (scenario.grades[grade]?.caliperM ?? 1),
    ),
  );
  const edgesEveryWraps = Math.max(1, Math.round(Math.max(...wraps) / WRAPS_IN_PICTURE));
  return { ...scenario, truth: { ...scenario.truth, edgesEveryWraps } };
}

function telemetryLine({
  atMs,
  topic,
  payload,
  retain,
}: {
  atMs: number;
  topic: string;
  payload: string;
  retain: boolean;
}): string {
  return JSON.stringify({ atMs, topic, payload, ...(retain ? { retain } : {}) });
}
