import { fileURLToPath } from 'node:url';

const fromRoot = (path: string): string => fileURLToPath(new URL(`../../../${path}`, import.meta.url));

/** Where the parts lie that the service starts or serves, seen from the built program. */
export const programPaths = {
  demoPlant: fromRoot('deploy/plant.demo.yaml'),
  demoScenario: fromRoot('apps/simulator/scenarios/demo.yaml'),
  simulator: fromRoot('apps/simulator/dist/main.js'),
  console: fromRoot('apps/console/dist'),
} as const;
