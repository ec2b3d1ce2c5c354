import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { eventually } from './eventually.js';
import { type RunningProgram, runProgram } from './running-program.js';

const program = fileURLToPath(new URL('../../../apps/monitor/dist/main.js', import.meta.url));

/** The built service as a process of its own. */
export interface RunningService {
  readonly url: string;
  readonly dataDirectory: string;
  readonly output: () => string;
  readonly get: (path: string) => Promise<Response>;
  readonly json: <T>(path: string) => Promise<T>;
  readonly post: (
    path: string,
    body: unknown,
    headers?: Readonly<Record<string, string>>,
  ) => Promise<Response>;
  /** Ends it in good order; the exit code. */
  readonly stop: () => Promise<number | null>;
  readonly kill: () => Promise<void>;
}

/** A folder for the service's data that lives as long as the test wants. */
export function dataDirectory(): { readonly path: string; readonly remove: () => void } {
  const path = mkdtempSync(join(tmpdir(), 'edge-margin-data-'));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}

/** Starts the service and waits until it listens. Anybody may look, unless the test says otherwise; to act takes a person or a key. */
export async function startService(
  env: Record<string, string> & { readonly DATA_DIR: string },
): Promise<RunningService> {
  const running = runProgram(process.execPath, ['--enable-source-maps', program], {
    HTTP_PORT: '0',
    LOG_LEVEL: 'info',
    HTTP_OPEN_VIEWING: 'yes',
    ...env,
  });
  const url = await addressOf(running);
  const get = (path: string): Promise<Response> => fetch(url + path);
  return {
    url,
    dataDirectory: env.DATA_DIR,
    output: running.output,
    get,
    json: async (path) => (await get(path)).json(),
    post: (path, body, headers = {}) =>
      fetch(url + path, {
        method: 'POST',
        headers: { 'content-type': 'application/json', ...headers },
        body: JSON.stringify(body),
      }),
    stop: () => running.end('SIGTERM'),
    kill: async () => {
      await running.end('SIGKILL');
    },
  };
}

/** Waits until the service says that it is ready, or that it is not (503). */
export function readyOf(service: RunningService, status: 200 | 503 = 200): Promise<true> {
  return eventually(
    async () => ((await service.get('/health/ready')).status === status ? true : undefined),
    status === 200 ? 'ready' : 'not ready',
    90_000,
  );
}

/** Runs the service where it is expected to refuse; its exit code and what it printed. */
export async function refusedStart(
  env: Record<string, string>,
): Promise<{ readonly code: number | null; readonly output: string }> {
  const running = runProgram(process.execPath, [program], { HTTP_PORT: '0', ...env });
  const code = await running.exited;
  return { code, output: running.output() };
}

async function addressOf(running: RunningProgram): Promise<string> {
  const deadline = Date.now() + 60_000;
  let ended = false;
  void running.exited.then(() => (ended = true));
  for (;;) {
    const address = /edge-margin: (https?:\/\/\S+)/.exec(running.output())?.[1];
    if (address !== undefined) return address;
    if (ended || Date.now() > deadline) throw new Error(`the service did not start:\n${running.output()}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}
