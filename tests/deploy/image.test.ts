import mqtt from 'mqtt';
import { execFileSync } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { GenericContainer, type StartedTestContainer, Wait } from 'testcontainers';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from '../services/support/eventually.js';
import { type Mosquitto, startMosquitto } from '../services/support/mosquitto.js';

// The container that would clear up behind a killed test run comes from a public registry, which not every engine reaches.
process.env['TESTCONTAINERS_RYUK_DISABLED'] ??= 'true';

const root = fileURLToPath(new URL('../..', import.meta.url));
/** Built here, unless one is named that was built before. */
const given = process.env['EDGE_MARGIN_IMAGE'];
const image = given ?? 'edge-margin:under-test';
const hostName = 'host.docker.internal';

const docker = (...words: string[]): string => execFileSync('docker', words, { encoding: 'utf8' }).trim();

function build(): void {
  const base = process.env['NODE_IMAGE'];
  const baseWords = base === undefined ? [] : ['--build-arg', `NODE_IMAGE=${base}`];
  docker('build', ...baseWords, '--file', join(root, 'deploy/Dockerfile'), '--tag', image, root);
}

/** As docker-compose.yml runs it, on an engine of this machine. */
class HardenedContainer extends GenericContainer {
  constructor(data: string) {
    super(image);
    this.hostConfig.ReadonlyRootfs = true;
    this.withDroppedCapabilities('ALL')
      .withSecurityOpt('no-new-privileges:true')
      .withTmpFs({ '/tmp': 'size=16m,mode=1777' })
      .withBindMounts([{ source: data, target: '/data' }])
      .withExtraHosts([{ host: hostName, ipAddress: 'host-gateway' }])
      .withExposedPorts(8080);
  }
}

describe('the image of deploy/Dockerfile', () => {
  const data = `edge-margin-test-${randomUUID()}`;
  const containers: StartedTestContainer[] = [];
  const startMs = Date.now() - 60_000;
  let broker: Mosquitto;

  const start = async (): Promise<StartedTestContainer> => {
    const started = await new HardenedContainer(data)
      .withEnvironment({
        PLANT_FILE: '/app/deploy/plant.demo.yaml',
        MQTT_URL: broker.url.replace('127.0.0.1', hostName),
        HTTP_BEHIND_PROXY: 'yes',
        HTTP_ALLOWED_HOSTS: 'localhost',
        HTTP_OPEN_VIEWING: 'yes',
      })
      .withWaitStrategy(Wait.forHealthCheck())
      .withStartupTimeout(120_000)
      .start();
    containers.push(started);
    return started;
  };
  const get = (container: StartedTestContainer, path: string): Promise<Response> =>
    fetch(`http://localhost:${container.getMappedPort(8080)}${path}`);
  const stored = async (container: StartedTestContainer): Promise<number> => {
    const answer = await get(
      container,
      `/api/winders/film-1/series?station=a&field=reading:speed&from=${startMs}&to=${startMs + 60_000}`,
    );
    const body = (await answer.json()) as { series?: { points: unknown[] }[] };
    return body.series?.[0]?.points.length ?? 0;
  };
  /** Stops it as an engine does, with SIGTERM and a time limit; the exit code. */
  const stop = async (container: StartedTestContainer): Promise<number> => {
    await container.stop({ remove: false, timeout: 30_000 });
    return Number(docker('inspect', container.getId(), '--format', '{{.State.ExitCode}}'));
  };
  const inside = async (container: StartedTestContainer, command: string): Promise<string> => {
    const { output, exitCode } = await container.exec(['sh', '-c', command]);
    return `${exitCode} ${output.trim()}`.trim();
  };

  beforeAll(async () => {
    broker = await startMosquitto();
    if (given === undefined) build();
    docker('volume', 'create', data);
  }, 1_800_000);

  afterAll(async () => {
    for (const container of containers) docker('rm', '--force', container.getId());
    docker('volume', 'rm', data);
    await broker.dispose();
  });

  it('starts unprivileged on a file system that cannot be written, becomes live and ready, and has nothing to build with', async () => {
    const container = await start();
    expect(await inside(container, 'id -u; id -g')).toBe('0 10001\n10001');
    expect(await inside(container, 'touch /app/here /usr/here 2>&1 || true')).toContain(
      'Read-only file system',
    );
    expect(await inside(container, 'grep -E "^(CapEff|CapPrm|NoNewPrivs)" /proc/self/status')).toMatch(
      /CapPrm:\s+0+\nCapEff:\s+0+\nNoNewPrivs:\s+1/,
    );
    expect(await inside(container, 'command -v npm npx gcc g++ make python3 git; true')).toBe('0');
    expect(await inside(container, 'find /app/apps /app/libs -name "*.ts" -o -name src')).toBe('0');
    expect(await inside(container, 'node deploy/health-check.mjs')).toBe('0 {"status":"pass"}');
    await eventually(
      async () => ((await get(container, '/health/ready')).status === 200 ? true : undefined),
      'ready',
      60_000,
    );
    expect((await get(container, '/')).status).toBe(200);
    await eventually(
      () =>
        docker('inspect', container.getId(), '--format', '{{.State.Health.Status}}') === 'healthy'
          ? true
          : undefined,
      'healthy, as the engine sees it',
      90_000,
    );
  });

  it('stops by SIGTERM with exit code 0, and a new container on the same volume has the data of the old one', async () => {
    const [first] = containers;
    if (first === undefined) throw new Error('the first container did not start');
    const gateway = await mqtt.connectAsync(broker.url, { clientId: 'gateway' });
    for (let n = 0; n < 50; n += 1) {
      const drive = { t: startMs + n * 1000, n, speed: 300 };
      await gateway.publishAsync('demo/lakeside/film-1/a/drive', JSON.stringify(drive), { qos: 1 });
    }
    await gateway.endAsync();
    await eventually(async () => ((await stored(first)) === 50 ? true : undefined), '50 speeds', 60_000);
    expect(await stop(first)).toBe(0);
    const second = await start();
    expect(await stored(second)).toBe(50);
    const copy = await inside(second, 'node apps/cli/dist/main.js backup --data-dir /data --to /data/copy');
    expect(copy).toMatch(/^0 \/data\/copy: store of version \d+ at position \d+/);
    expect(await stop(second)).toBe(0);
  });

  it('is refused with one line where its volume belongs to somebody else', async () => {
    const run = (...words: string[]): string => docker('run', '--rm', '--entrypoint', 'sh', ...words);
    run('--user', '0', '--volume', `${data}:/data`, image, '-c', 'chown -R 0:0 /data && chmod 700 /data');
    const refused = run(
      ...['--read-only', '--volume', `${data}:/data`, '--env', 'PLANT_FILE=/app/deploy/plant.demo.yaml'],
      ...['--env', 'MQTT_URL=mqtt://127.0.0.1:9', '--env', 'HTTP_HOST=127.0.0.1', image],
      ...['-c', 'node apps/monitor/dist/main.js 2>&1; echo "exit code $?"'],
    );
    expect(refused).toMatch(/^edge-margin did not start: \/data: .*\nexit code 1$/);
  });
});
