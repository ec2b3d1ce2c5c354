import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir, userInfo } from 'node:os';
import { join } from 'node:path';
import { freePort, portOpen } from './free-port.js';
import { provide } from './provide.mjs';
import { type RunningProgram, runProgram } from './running-program.js';

/** A real Mosquitto on loopback. Its port and its persistent data stay the same over `kill` and `start`. */
export interface Mosquitto {
  readonly url: string;
  readonly port: number;
  readonly start: () => Promise<void>;
  /** Ends it in good order; sessions and queued messages are kept for the next `start`. */
  readonly stop: () => Promise<void>;
  readonly kill: () => Promise<void>;
  readonly log: () => string;
  /** Ends it and deletes its data. */
  readonly dispose: () => Promise<void>;
}

export interface MosquittoOptions {
  /** Directives instead of `allow_anonymous true`, e.g. a password file. `{directory}` stands for the data directory. */
  readonly access?: string;
  /** The whole configuration instead of this one, with `{port}` and `{directory}`. */
  readonly whole?: string;
  /** Files to lay into the data directory before the start. */
  readonly files?: Readonly<Record<string, string>>;
}

export async function startMosquitto(options: MosquittoOptions = {}): Promise<Mosquitto> {
  const provided = provide('mosquitto');
  const port = await freePort();
  const broker =
    provided.way === 'program'
      ? fromProgram(provided.path, port, options)
      : fromContainer(provided.image, port, options);
  await broker.start();
  return broker;
}

function configuration(port: number, directory: string, options: MosquittoOptions, user: string): string {
  if (options.whole !== undefined)
    return `user ${user}\n${options.whole.replaceAll('{directory}', directory).replaceAll('{port}', String(port))}`;
  return [
    `user ${user}`,
    `listener ${port}`,
    (options.access ?? 'allow_anonymous true').replaceAll('{directory}', directory),
    'persistence true',
    `persistence_location ${directory}/`,
    'max_queued_messages 100000',
    'max_inflight_messages 100',
    '',
  ].join('\n');
}

function fromProgram(path: string, port: number, options: MosquittoOptions): Mosquitto {
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-mosquitto-'));
  for (const [name, text] of Object.entries(options.files ?? {}))
    writeFileSync(join(directory, name), text, { mode: 0o600 });
  const file = join(directory, 'mosquitto.conf');
  writeFileSync(file, configuration(port, directory, options, userInfo().username));
  let running: RunningProgram | undefined;
  const end = async (signal: 'SIGTERM' | 'SIGKILL'): Promise<void> => {
    await running?.end(signal);
  };
  return {
    url: `mqtt://127.0.0.1:${port}`,
    port,
    start: async () => {
      running = runProgram(path, ['-c', file]);
      await portOpen(port).catch((error: unknown) => {
        throw new Error(`mosquitto did not start: ${running?.output() ?? ''}`, { cause: error });
      });
    },
    stop: () => end('SIGTERM'),
    kill: () => end('SIGKILL'),
    log: () => running?.output() ?? '',
    dispose: async () => {
      await end('SIGTERM');
      rmSync(directory, { recursive: true, force: true });
    },
  };
}

function fromContainer(image: string, port: number, options: MosquittoOptions): Mosquitto {
  let container: import('testcontainers').StartedTestContainer | undefined;
  const start = async (): Promise<void> => {
    if (container !== undefined) {
      await container.restart();
    } else {
      const { GenericContainer } = await import('testcontainers');
      const files = Object.entries(options.files ?? {}).map(([name, content]) => ({
        content,
        target: `/tmp/${name}`,
      }));
      container = await new GenericContainer(image)
        .withExposedPorts({ container: port, host: port })
        .withCopyContentToContainer([
          {
            content: configuration(port, '/tmp', options, 'root'),
            target: '/mosquitto/config/mosquitto.conf',
          },
          ...files,
        ])
        .withCommand(['mosquitto', '-c', '/mosquitto/config/mosquitto.conf'])
        .start();
    }
    await portOpen(port);
  };
  return {
    url: `mqtt://127.0.0.1:${port}`,
    port,
    start,
    stop: async () => {
      await container?.stop({ remove: false, timeout: 10_000 });
    },
    kill: async () => {
      await container?.stop({ remove: false, timeout: 0 });
    },
    log: () => '',
    dispose: async () => {
      await container?.stop();
    },
  };
}
