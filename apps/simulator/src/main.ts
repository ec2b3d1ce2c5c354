import { familyJsonSchema } from './families/family-json-schema.js';
import { scenarioJsonSchema } from './scenario/json-schema.js';
import type { Scenario } from './scenario/scenario-schema.js';
import { openBroker } from './shell/broker.js';
import { openScenario } from './shell/open-scenario.js';
import { type Options, readOptions, USAGE } from './shell/options.js';
import { publish } from './shell/publish.js';
import { writeFiles } from './shell/write-files.js';

/** Files are the same whenever they are written, so their run begins at a fixed instant. */
const FIXED_START_MS = Date.UTC(2026, 0, 5, 6);

const BAD_OPTIONS = 2;

function say(text: string): void {
  process.stderr.write(`simulator: ${text}\n`);
}

async function live(options: Options, scenario: Scenario, url: string): Promise<void> {
  const stop = new AbortController();
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => stop.abort());
  const { host } = new URL(url);
  say(
    `"${scenario.name}", seed ${options.seed}, ${options.speedUp} x real time, to ${host}; everything is simulated`,
  );
  const broker = openBroker(url, say);
  await broker.firstAttempt;
  await publish({ ...options, scenario }, broker, stop.signal);
  await broker.leave();
  const { sent, lost } = broker.counts();
  say(`stopped: ${sent} messages published, ${lost} lost while there was no connection`);
}

function toFiles(options: Options, scenario: Scenario, directory: string): void {
  const began = performance.now();
  const run = {
    scenario,
    seed: options.seed,
    startMs: options.startMs ?? FIXED_START_MS,
    durationS: options.durationS,
  };
  const count = writeFiles(run, directory);
  const seconds = (performance.now() - began) / 1000;
  say(
    `${count.telemetry} messages, ${count.truth} lines of truth, ${count.rolls} pictures of rolls and ` +
      `${count.people} lines of what people say in ${directory}; ` +
      `${options.durationS} s in ${seconds.toFixed(2)} s, ${(options.durationS / seconds).toFixed(0)} x real time`,
  );
}

async function run(options: Options): Promise<number> {
  if (options.target.kind === 'schema' || options.target.kind === 'family-schema') {
    const schema = options.target.kind === 'schema' ? scenarioJsonSchema() : familyJsonSchema();
    process.stdout.write(`${JSON.stringify(schema, null, 2)}\n`);
    return 0;
  }
  const opened = openScenario(options.scenario, options.seed);
  if (!opened.ok) {
    process.stderr.write(`${opened.lines.join('\n')}\n`);
    return BAD_OPTIONS;
  }
  if (options.target.kind === 'mqtt') await live(options, opened.scenario, options.target.url);
  else toFiles(options, opened.scenario, options.target.directory);
  return 0;
}

const reading = readOptions(process.argv.slice(2));
if (reading.ok) {
  process.exitCode = await run(reading.options).catch((error: unknown) => {
    say(error instanceof Error ? error.message : String(error));
    return 1;
  });
} else {
  process.stderr.write(`${reading.text} (${USAGE})\n`);
  process.exitCode = BAD_OPTIONS;
}
