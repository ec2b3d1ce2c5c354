import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { freePort, portOpen } from './free-port.js';
import { provide } from './provide.mjs';
import { type RunningProgram, runProgram } from './running-program.js';

/** A real InfluxDB 1.x on loopback. Its address and data stay the same over `stop` and `start`. */
export interface Influx {
  readonly url: string;
  readonly start: () => Promise<void>;
  readonly stop: () => Promise<void>;
  readonly log: () => string;
  /** Ends it and deletes its data. */
  readonly dispose: () => Promise<void>;
}

export interface InfluxOptions {
  /** Ask for user names and passwords (make the first administrator yourself). */
  readonly authentication?: boolean;
}

export async function startInflux(options: InfluxOptions = {}): Promise<Influx> {
  const provided = provide('influxdb');
  const port = await freePort();
  const server =
    provided.way === 'program'
      ? await fromProgram(provided.path, port, options)
      : fromContainer(provided.image, port, options);
  await server.start();
  return server;
}

async function answering(url: string): Promise<void> {
  const deadline = Date.now() + 30_000;
  for (;;) {
    const response = await fetch(`${url}/ping`).catch(() => undefined);
    if (response?.status === 204) return;
    if (Date.now() > deadline) throw new Error(`InfluxDB does not answer at ${url}`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}

async function fromProgram(path: string, port: number, options: InfluxOptions): Promise<Influx> {
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-influxdb-'));
  const file = join(directory, 'influxdb.conf');
  writeFileSync(
    file,
    `reporting-disabled = true
bind-address = "127.0.0.1:${await freePort()}"
[meta]
  dir = "${directory}/meta"
[data]
  dir = "${directory}/data"
  wal-dir = "${directory}/wal"
[http]
  bind-address = "127.0.0.1:${port}"
  auth-enabled = ${options.authentication === true}
  log-enabled = false
[monitor]
  store-enabled = false
`,
  );
  const url = `http://127.0.0.1:${port}`;
  let running: RunningProgram | undefined;
  const stop = async (): Promise<void> => {
    await running?.end('SIGTERM');
  };
  return {
    url,
    start: async () => {
      running = runProgram(path, ['run', '-config', file]);
      await portOpen(port);
      await answering(url);
    },
    stop,
    log: () => running?.output() ?? '',
    dispose: async () => {
      await stop();
      rmSync(directory, { recursive: true, force: true });
    },
  };
}

function fromContainer(image: string, port: number, options: InfluxOptions): Influx {
  const url = `http://127.0.0.1:${port}`;
  let container: import('testcontainers').StartedTestContainer | undefined;
  return {
    url,
    start: async () => {
      if (container !== undefined) {
        await container.restart();
      } else {
        const { GenericContainer } = await import('testcontainers');
        container = await new GenericContainer(image)
          .withExposedPorts({ container: 8086, host: port })
          .withEnvironment({
            INFLUXDB_REPORTING_DISABLED: 'true',
            INFLUXDB_HTTP_AUTH_ENABLED: String(options.authentication === true),
          })
          .withCommand(['influxd'])
          .start();
      }
      await answering(url);
    },
    stop: async () => {
      await container?.stop({ remove: false, timeout: 10_000 });
    },
    log: () => '',
    dispose: async () => {
      await container?.stop();
    },
  };
}
