// The air film's costs, from its own bench in a process of its own.
import { fileURLToPath } from 'node:url';
import { startProgram } from '../parts/child.mjs';

const goals = {
  'film alone': 1,
  'assessment with uncertainty and remedies': 100,
  'operating map 100 x 100': 100,
};

export async function airFilmRows() {
  const run = startProgram([fileURLToPath(new URL('../air-film.mjs', import.meta.url)), '9']);
  const code = await run.ended;
  if (code !== 0) throw new Error(`air-film.mjs ended with ${code}`);
  return run
    .output()
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line))
    .map(({ what, unit, cpu, wall }) => {
      const goal = goals[what];
      return {
        name: `air film: ${what}`,
        value: cpu,
        unit,
        goal: goal === undefined ? null : `<= ${goal}`,
        pass: goal === undefined ? null : cpu <= goal,
        wall,
      };
    });
}
