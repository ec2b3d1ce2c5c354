import { closeSync, mkdirSync, openSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { happenings, type Run } from '../run.js';

/**
 * Writes a run to `telemetry.jsonl` (arrival time, topic, payload as text, retained or not) and `truth.jsonl` in a folder.
 * @returns how many lines of each
 */
export function writeFiles(
  run: Run,
  directory: string,
): { readonly telemetry: number; readonly truth: number } {
  mkdirSync(directory, { recursive: true });
  const telemetry = lineFile(join(directory, 'telemetry.jsonl'));
  const truth = lineFile(join(directory, 'truth.jsonl'));
  for (const happening of happenings(run)) {
    if (happening.kind === 'truth') truth.add(happening.truth);
    else telemetry.add(telemetryLine(happening));
  }
  return { telemetry: telemetry.close(), truth: truth.close() };
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
}) {
  return { atMs, topic, payload, ...(retain ? { retain } : {}) };
}

const ENOUGH = 1 << 20;

function lineFile(path: string) {
  const file = openSync(path, 'w');
  let waiting = '';
  let count = 0;
  const flush = (): void => {
    writeSync(file, waiting);
    waiting = '';
  };
  return {
    add: (line: object): void => {
      waiting += `${JSON.stringify(line)}\n`;
      count += 1;
      if (waiting.length > ENOUGH) flush();
    },
    close: (): number => {
      flush();
      closeSync(file);
      return count;
    },
  };
}
