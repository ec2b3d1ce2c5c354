// Whether the cost of a message and the memory of a winder stay the same from 1 to 1000 winders. The pipeline alone, each size in a process of its
// own: what comes before it (broker client, journal) does not know winders, and 1000 of them at full rate are more than one broker on one
// machine sends.
import { fileURLToPath } from 'node:url';
import { startProgram } from '../parts/child.mjs';
import { round } from '../parts/figures.mjs';

const sizes = [1, 10, 100, 1000];
/** Whole rolls of 20 s at 10 messages a second in either half; the first half warms up. */
const messagesOf = { 1: 80_000, 10: 80_000, 100: 80_000, 1000: 400_000 };
const flatWithin = 0.15;
const memoryGoalBytes = 200_000;

export async function scalingRows() {
  const runs = [];
  for (const size of sizes) runs.push(await runOf(size));
  const costs = runs.map((run) => run.usPerMessage);
  const spread = Math.max(...costs) / Math.min(...costs) - 1;
  const [least, most] = [runs[0], runs.at(-1)];
  const bytesPerWinder = (name) => (most[name] - least[name]) / (most.winders - least.winders);
  return [
    {
      name: 'CPU a message of the pipeline, highest over lowest of 1, 10, 100, 1000 winders, less 1',
      value: round(spread),
      unit: '1',
      goal: `<= ${flatWithin}`,
      pass: spread <= flatWithin,
      usPerMessage: Object.fromEntries(runs.map((run) => [run.winders, round(run.usPerMessage)])),
    },
    {
      name: 'memory a winder (heap after collection, 1000 winders less 1)',
      value: round(bytesPerWinder('heapBytes') / 1000),
      unit: 'kB',
      goal: `<= ${memoryGoalBytes / 1000}`,
      pass: bytesPerWinder('heapBytes') <= memoryGoalBytes,
      residentKBPerWinder: round(bytesPerWinder('rssBytes') / 1000),
    },
  ];
}

async function runOf(winders) {
  const program = fileURLToPath(new URL('../parts/pipeline-run.mjs', import.meta.url));
  const run = startProgram(['--expose-gc', program, String(winders), String(messagesOf[winders])]);
  const code = await run.ended;
  if (code !== 0) throw new Error(`pipeline-run ${winders} ended with ${code}`);
  return JSON.parse(run.output());
}
