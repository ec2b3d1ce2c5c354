import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { startProgram } from './child.mjs';
import { plantOf } from './plant.mjs';

const built =
  process.env.BENCH_SERVICE ?? fileURLToPath(new URL('../../../apps/monitor/dist/main.js', import.meta.url));

/** The built service on the load's plant. `directory` is its own unless one is given, which then stays. */
export async function startService({ url, winders, siteId, directory, nodeArgs = [], env = {} }) {
  const home = directory ?? mkdtempSync(join(tmpdir(), 'edge-margin-bench-'));
  const plantFile = join(home, 'plant.yaml');
  writeFileSync(plantFile, plantOf(winders, siteId));
  const program = startProgram([...nodeArgs, built], {
    DATA_DIR: join(home, 'data'),
    PLANT_FILE: plantFile,
    MQTT_URL: url,
    HTTP_PORT: '0',
    LOG_LEVEL: 'warn',
    ...env,
  });
  await program.said('edge-margin: http', 120_000);
  const [, port] = /localhost:(\d+)/.exec(program.output());
  return {
    ...program,
    directory: home,
    address: `http://127.0.0.1:${port}`,
    stop: async () => {
      await program.stop();
      if (directory === undefined) rmSync(home, { recursive: true, force: true });
    },
  };
}
