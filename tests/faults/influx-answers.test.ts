import { mkdtempSync, rmSync } from 'node:fs';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import {
  connect,
  createServer as createTcpServer,
  type AddressInfo,
  type Server as TcpServer,
  type Socket,
} from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import type { SeriesSample } from '@edge-margin/series';
import {
  type Clock,
  createInfluxRollUpReader,
  createInfluxSeriesStore,
  createReplica,
  type Replica,
  type ReplicaOptions,
} from '@edge-margin/store-influx';
import { openStore, type Store } from '@edge-margin/store-sqlite';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';

// What a real InfluxDB cannot be made to answer when a test wants it. The real one: tests/services/series-*.test.ts.
const startMs = 1_790_000_000_000;
const hourMs = 3_600_000;
const speedAt = (index: number, value: number | string = index): SeriesSample => ({
  measurement: 'reading',
  winderId: 'w1',
  stationId: 'a',
  end: 'both',
  field: 'speed',
  atMs: startMs + index * 1000,
  value,
});

let directory = '';
let store: Store;
let replica: Replica | undefined;
const endings: (() => Promise<unknown> | void)[] = [];
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-influx-'));
  store = openStore(join(directory, 'store.sqlite'));
});
afterEach(async () => {
  await replica?.stop();
  replica = undefined;
  for (const end of endings.splice(0).reverse()) await end();
  store.close();
  rmSync(directory, { recursive: true, force: true });
});

interface Answer {
  readonly status: number;
  readonly body?: string;
  readonly headers?: Record<string, string>;
}
interface Asked {
  readonly path: string;
  readonly query: URLSearchParams;
  readonly authorization: string | undefined;
  readonly body: string;
}

/** A server that answers as it is told. */
async function answering(
  answer: (asked: Asked, response: ServerResponse, request: IncomingMessage) => Answer | undefined,
): Promise<string> {
  const server = createServer((request, response) => {
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.on('end', () => {
      const url = new URL(request.url ?? '/', 'http://localhost');
      const bytes = Buffer.concat(chunks);
      const body =
        request.headers['content-encoding'] === 'gzip' ? gunzipSync(bytes).toString() : bytes.toString();
      const { authorization } = request.headers;
      const told = answer(
        { path: url.pathname, query: url.searchParams, authorization, body },
        response,
        request,
      );
      if (told !== undefined) response.writeHead(told.status, told.headers).end(told.body);
    });
  });
  return listening(server, () => server.closeAllConnections());
}

async function talking(onConnection: (socket: Socket) => void): Promise<string> {
  const sockets = new Set<Socket>();
  const server = createTcpServer((socket) => {
    sockets.add(socket);
    socket.on('error', () => undefined);
    onConnection(socket);
  });
  return listening(server, () => sockets.forEach((socket) => socket.destroy()));
}

async function listening(server: Server | TcpServer, closeConnections: () => void): Promise<string> {
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  endings.push(() => {
    closeConnections();
    return new Promise((resolve) => server.close(resolve));
  });
  return `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
}

/** Time that passes only while somebody sleeps, at once; every wait is noted. */
function compressedClock(): Clock & { readonly waits: number[]; onSleep: (durationMs: number) => void } {
  let nowMs = startMs;
  const clock = {
    waits: [] as number[],
    onSleep: ((): void => undefined) as (durationMs: number) => void,
    now: () => nowMs,
    random: Math.random,
    sleep: async (durationMs: number, signal: AbortSignal) => {
      if (signal.aborted) return;
      clock.waits.push(durationMs);
      clock.onSleep(durationMs);
      nowMs += durationMs;
      await new Promise((resolve) => setImmediate(resolve));
    },
  };
  return clock;
}

/** What a database would hold: the last value of each line's head and time. */
function linesKept() {
  const kept = new Map<string, string>();
  const keep = (body: string): void => {
    for (const line of body.split('\n').filter((text) => text !== '')) {
      const [head, fields, at] = line.split(' ');
      kept.set(`${head} ${at}`, fields ?? '');
    }
  };
  return { kept, keep };
}

const start = (options: Partial<ReplicaOptions> & Pick<ReplicaOptions, 'url'>): Replica => {
  replica = createReplica({
    database: 'mill',
    tagsOf: () => undefined,
    store: store.replica,
    flushMs: 50,
    ...options,
  });
  replica.start();
  return replica;
};
const write = (from: number, to: number): void =>
  store.series.write(Array.from({ length: to - from }, (_, index) => speedAt(from + index)));

async function until(condition: () => boolean, what: string): Promise<void> {
  const deadline = Date.now() + 60_000;
  while (!condition()) {
    if (Date.now() > deadline)
      throw new Error(`still waiting for ${what}: ${JSON.stringify(replica?.status())}`);
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
}

describe('an InfluxDB that cannot do it now', () => {
  it.each([
    [429, ''],
    [500, JSON.stringify({ error: 'timeout' })],
    [500, JSON.stringify({ error: 'engine: cache-max-memory-size exceeded: (1/1)' })],
    [500, JSON.stringify({ error: 'engine: error writing WAL entry: no space left on device' })],
    [502, '<html>bad gateway</html>'],
    [503, ''],
    [504, 'upstream request timed out'],
  ])('is asked again with growing, jittered waits after %i %s, and nothing is lost', async (status, body) => {
    const { kept, keep } = linesKept();
    let refusals = 8;
    const url = await answering((asked) => {
      if ((refusals -= 1) >= 0) return { status, body };
      keep(asked.body);
      return { status: 204 };
    });
    store.replica.addReplica('influx');
    write(0, 50);
    const clock = compressedClock();
    start({ url, clock });
    await until(() => kept.size === 50, '50 lines');
    const fullMs = [1000, 2000, 4000, 8000, 16_000, 32_000, 60_000, 60_000];
    fullMs.forEach((full, index) => {
      expect(clock.waits[index]).toBeGreaterThanOrEqual(full / 2);
      expect(clock.waits[index]).toBeLessThanOrEqual(full);
    });
    expect(
      new Set(clock.waits.slice(0, 8).map((wait, index) => wait / (fullMs[index] ?? 1))).size,
    ).toBeGreaterThan(1);
  });

  it('is left alone for as long as it asks', async () => {
    let asked = 0;
    const url = await answering(() =>
      (asked += 1) === 1 ? { status: 503, headers: { 'retry-after': '90' } } : { status: 204 },
    );
    store.replica.addReplica('influx');
    write(0, 1);
    const clock = compressedClock();
    start({ url, clock });
    await until(() => store.replica.behind('influx') === 0, 'the row');
    expect(clock.waits[0]).toBe(90_000);
  });

  it('may say nothing for an hour: the service goes on, every row waits, and then each arrives once', async () => {
    const { kept, keep } = linesKept();
    let [silent, asked] = [true, 0];
    const url = await answering(({ body }) => {
      asked += 1;
      if (silent) return undefined;
      keep(body);
      return { status: 204 };
    });
    store.replica.addReplica('influx');
    const clock = compressedClock();
    let written = 0;
    // A row a second of the compressed time comes in meanwhile.
    clock.onSleep = (durationMs) => {
      const due = Math.round((clock.now() + durationMs - startMs) / 1000);
      if (silent && due > written) write(written, (written = due));
    };
    write(0, (written = 1));
    start({ url, clock, timeoutMs: 20, batchRows: 500 });
    await until(() => clock.now() - startMs > hourMs, 'an hour');
    expect(replica?.status()).toMatchObject({
      state: 'down',
      trouble: 'unreachable',
      behindRows: written,
      oldestWaitingAtMs: startMs,
      lastError: { code: 'replica-unreachable' },
    });
    expect(asked).toBeLessThan(200); // at most once a minute and a few more at the beginning
    silent = false;
    await until(() => store.replica.behind('influx') === 0, 'all rows');
    expect(kept.size).toBe(written);
    expect(replica?.status()).toMatchObject({
      state: 'up',
      trouble: 'none',
      setAsideRows: 0,
      oldestWaitingAtMs: null,
    });
  });
});

describe('an answer that is none', () => {
  const talks: readonly (readonly [string, (socket: Socket) => void])[] = [
    ['noise instead of HTTP', (socket) => void socket.end(Buffer.from([0, 255, 1, 254, 10, 13, 10, 13, 10]))],
    ['nothing and a closed connection', (socket) => void socket.once('data', () => socket.end())],
    [
      'a reset in the middle of the request',
      (socket) => void socket.once('data', () => socket.resetAndDestroy()),
    ],
    ['half a head', (socket) => void socket.once('data', () => socket.end('HTTP/1.1 204 No Con'))],
    [
      'a head that promises more than comes, and then a reset',
      (socket) =>
        void socket.once('data', () => {
          socket.write('HTTP/1.1 500 Oops\r\ncontent-length: 1000\r\n\r\n{"error":');
          setTimeout(() => socket.resetAndDestroy(), 5);
        }),
    ],
    [
      'a drop every now and then, without end',
      (socket) => {
        socket.once('data', () => socket.write('HTTP/1.1 503 Slow\r\ntransfer-encoding: chunked\r\n\r\n'));
        const dripping = setInterval(() => socket.writable && socket.write('1\r\nx\r\n'), 10);
        socket.once('close', () => clearInterval(dripping));
      },
    ],
    [
      'a flood without end',
      (socket) =>
        void socket.once('data', () => {
          const chunk = `10000\r\n${'x'.repeat(65_536)}\r\n`;
          socket.write('HTTP/1.1 503 Flood\r\ntransfer-encoding: chunked\r\n\r\n');
          const pour = (): void => {
            while (socket.writable && socket.write(chunk));
            if (socket.writable) socket.once('drain', pour);
          };
          pour();
        }),
    ],
  ];
  it.each(talks)('counts as an outage: %s', async (_name, talk) => {
    let good = false;
    const { kept, keep } = linesKept();
    const goodUrl = await answering(({ body }) => {
      keep(body);
      return { status: 204 };
    });
    const goodPort = Number(new URL(goodUrl).port);
    const url = await talking((socket) => {
      if (!good) {
        talk(socket);
        return;
      }
      const onward = connect(goodPort, '127.0.0.1');
      onward.on('error', () => socket.destroy());
      socket.pipe(onward).pipe(socket);
    });
    store.replica.addReplica('influx');
    write(0, 20);
    const clock = compressedClock();
    start({ url, clock, timeoutMs: 400 });
    await until(
      () => (replica?.status().lastError ?? null) !== null && clock.waits.length >= 2,
      'two failures',
    );
    expect(replica?.status()).toMatchObject({
      state: 'down',
      trouble: 'unreachable',
      behindRows: 20,
      setAsideRows: 0,
    });
    good = true;
    await until(() => kept.size === 20, '20 lines');
  });

  it('is the page of another server: somebody must act, and it says so', async () => {
    const url = await answering(() => ({ status: 200, body: '<html><body>Welcome</body></html>' }));
    store.replica.addReplica('influx');
    write(0, 5);
    const clock = compressedClock();
    start({ url, clock });
    await until(() => clock.waits.length >= 3, 'three attempts');
    expect(new Set(clock.waits)).toEqual(new Set([60_000]));
    expect(replica?.status()).toMatchObject({
      trouble: 'misconfigured',
      behindRows: 5,
      lastError: { code: 'replica-not-influxdb' },
    });
  });
});

describe('a backlog of hours', () => {
  it('is brought up at the set rate while the newest rows go first, and the last value stands', async () => {
    const { kept, keep } = linesKept();
    const bodies: string[] = [];
    const arrivals: number[] = [];
    const url = await answering(({ body }) => {
      bodies.push(body);
      arrivals.push(clock.now());
      keep(body);
      return { status: 204 };
    });
    store.replica.addReplica('influx');
    const clock = compressedClock();
    write(0, 20_000);
    let live = 20_000;
    // Ten rows a second of the compressed time, and an old value corrected.
    clock.onSleep = (durationMs) => {
      const more = Math.round(durationMs / 100);
      if (live < 21_000 && more > 0) {
        write(live, (live += more));
        store.series.write([speedAt(19_000, -1)]);
      }
    };
    start({ url, clock, batchRows: 500, catchUpRowsPerS: 2000 });
    await until(() => replica?.status().catchingUp === true, 'catching up');
    await until(() => store.replica.behind('influx') === 0, 'all rows');
    const positionOf = (index: number): number =>
      bodies.findIndex((body) => body.includes(` ${startMs + index * 1000}\n`));
    expect(positionOf(20_005)).toBeGreaterThan(-1);
    expect(positionOf(20_005)).toBeLessThan(positionOf(10_000)); // a row of the present long before the middle of the backlog
    expect(kept.size).toBe(live);
    expect(kept.get(`reading,end=both,station=a,winder=w1 ${startMs + 19_000_000}`)).toBe('speed=-1');
    // 20 000 rows at 2000 a second.
    const tookMs = (arrivals[positionOf(19_999)] ?? 0) - startMs;
    expect(tookMs).toBeGreaterThan(9000);
    expect(tookMs).toBeLessThan(15_000);
    expect(replica?.status()).toMatchObject({ state: 'up', catchingUp: false });
  });

  it('ends even where more comes in than the set rate brings up', async () => {
    const url = await answering(() => ({ status: 204 }));
    store.replica.addReplica('influx');
    write(0, 5000);
    const clock = compressedClock();
    let live = 5000;
    clock.onSleep = (durationMs) => write(live, (live += Math.min(5000, Math.round(durationMs * 2)))); // 2000 a second
    start({ url, clock, batchRows: 500, catchUpRowsPerS: 200 });
    await until(() => replica?.status().catchingUp === true, 'catching up');
    await until(() => replica?.status().catchingUp === false, 'the end of it');
  });

  it('that is longer than the limits is cut, the cut is a gap, and the rest arrives', async () => {
    const { kept, keep } = linesKept();
    let there = false;
    const url = await answering(({ body }) => {
      if (!there) return { status: 503 };
      keep(body);
      return { status: 204 };
    });
    store.replica.addReplica('influx');
    write(0, 3000);
    const clock = compressedClock();
    start({ url, clock, batchRows: 100 });
    await until(() => clock.waits.length > 2, 'failures');
    const limits = { maxRows: 1000, beforeMs: 0 };
    while (store.replica.trim(limits, 500) > 0);
    expect(store.replica.trim({ maxRows: 1e9, beforeMs: startMs + 2_500_000 }, 1000)).toBe(500);
    there = true;
    await until(() => store.replica.behind('influx') === 0, 'the rest');
    // A request under way when the cut was made may bring rows of the cut as well.
    expect(kept.size).toBeGreaterThanOrEqual(500);
    expect(kept.size).toBeLessThanOrEqual(600);
    expect(store.gaps.query({ limit: 10, what: 'replica influx' })).toMatchObject([
      {
        fromMs: startMs,
        toMs: startMs + 2_499_000,
        count: 2500,
        because: { code: 'replica-too-far-behind' },
      },
    ]);
  });

  it('is sent in smaller pieces once they were too large, without trying the large ones again and again', async () => {
    const sizes: number[] = [];
    const url = await answering(({ body }) => {
      const lines = body.split('\n').length - 1;
      sizes.push(lines);
      return lines > 300
        ? { status: 413, body: JSON.stringify({ error: 'Request Entity Too Large' }) }
        : { status: 204 };
    });
    store.replica.addReplica('influx');
    write(0, 6000);
    start({ url, clock: compressedClock(), batchRows: 1000 });
    await until(() => store.replica.behind('influx') === 0, 'all rows');
    expect(sizes.filter((size) => size > 300).length).toBeLessThanOrEqual(8);
    expect(replica?.status().setAsideRows).toBe(0);
  });
});

/**
 * The 1.x-compatible endpoints of InfluxDB 2.x as its documentation and source describe them (influxdata/docs-v2, "v1 compatibility API";
 * influxdata/influxdb, http/legacy): no such server was at hand, so this stands in for it and proves nothing about it.
 */
async function asInflux2(
  mapped: ReadonlySet<string>,
): Promise<{ readonly url: string; readonly asked: Asked[] }> {
  const asked: Asked[] = [];
  const problem = (status: number, code: string, message: string): Answer => ({
    status,
    body: JSON.stringify({ code, message }),
  });
  const url = await answering((question) => {
    asked.push(question);
    const { path, query, authorization, body } = question;
    const wanted = path === '/write' ? 'Token to-write' : 'Token to-read';
    if (!/^Token /.test(authorization ?? '')) return problem(401, 'unauthorized', 'unauthorized access');
    if (authorization !== wanted) return problem(403, 'forbidden', 'insufficient permissions for write');
    if (path === '/query') {
      const form = new URLSearchParams(body);
      const statement = form.get('q') ?? '';
      if (!/^SELECT/.test(statement))
        return problem(400, 'invalid', `only SELECT is taken here, not ${statement}`);
      const row = statement.includes('rollup_1h')
        ? [startMs - (startMs % hourMs), 2, 7, 61_000, 5, 0, 7, 61_000, 6]
        : [startMs, 5];
      return {
        status: 200,
        body: JSON.stringify({
          results: [{ statement_id: 0, series: [{ name: 'x', columns: [], values: [row] }] }],
        }),
      };
    }
    const retentionPolicy = query.get('rp') ?? 'autogen';
    if (!mapped.has(retentionPolicy)) return problem(404, 'not found', 'no dbrp mapping found');
    if (body === '') return problem(400, 'invalid', 'writing requires points');
    if (body.includes('"text"'))
      return problem(
        422,
        'unprocessable entity',
        'failure writing points to database: partial write: field type conflict: input field "speed" on measurement "reading" is type string, already exists as type float dropped=1',
      );
    return { status: 204 };
  });
  return { url, asked };
}

describe('the endpoints of InfluxDB 2.x as documented', () => {
  it('are written to and read from with a token each, and nothing is created there', async () => {
    const server = await asInflux2(new Set(['autogen']));
    store.replica.addReplica('influx');
    store.rollUps.replica.addReplica('influx');
    store.series.write([speedAt(0), speedAt(1, 'text'), speedAt(2)]);
    while (!store.rollUps.rollUpDue(startMs + 2 * hourMs, 100).done);
    const clock = compressedClock();
    start({ url: server.url, token: 'to-write', rollUps: store.rollUps.replica, clock });
    await until(
      () => store.replica.behind('influx') === 0 && replica?.status().rollUps.lastError !== null,
      'the rows',
    );
    expect(replica?.status()).toMatchObject({
      state: 'up',
      setAsideRows: 1,
      rollUps: {
        state: 'down',
        trouble: 'misconfigured',
        behindRows: 3,
        lastError: { code: 'replica-roll-up-policy-missing' },
      },
    });
    expect(replica?.status().rollUps.lastError?.text).toContain(
      'a bucket mapped to database mill, retention policy rollup_10s',
    );
    expect(server.asked.every(({ path }) => path === '/write')).toBe(true);
    await replica?.stop();

    const read = { url: server.url, database: 'mill', token: 'to-read' };
    const id = speedAt(0);
    expect(await createInfluxSeriesStore({ ...read, tagsOf: () => undefined }).latest(id)).toEqual([
      startMs,
      5,
    ]);
    const hour = startMs - (startMs % hourMs);
    expect(await createInfluxRollUpReader(read)(id, '1h', { fromMs: hour, toMs: hour + 1 })).toEqual([
      {
        startMs: hour,
        count: 2,
        last: [hour + 61_000, 7],
        numbers: { low: [hour, 5], high: [hour + 61_000, 7], mean: 6 },
      },
    ]);
    const wrong = createInfluxSeriesStore({ ...read, token: 'to-write', tagsOf: () => undefined });
    await expect(wrong.latest(id)).rejects.toMatchObject({ code: 'misconfigured' });
  });

  it('take the roll-ups as soon as the mappings are there', async () => {
    const mapped = new Set(['autogen']);
    const server = await asInflux2(mapped);
    store.replica.addReplica('influx');
    store.rollUps.replica.addReplica('influx');
    store.series.write([speedAt(0), speedAt(2)]);
    while (!store.rollUps.rollUpDue(startMs + 2 * hourMs, 100).done);
    start({ url: server.url, token: 'to-write', rollUps: store.rollUps.replica, clock: compressedClock() });
    await until(() => replica?.status().rollUps.lastError !== null, 'the complaint');
    for (const policy of ['rollup_10s', 'rollup_1min', 'rollup_1h']) mapped.add(policy);
    await until(() => replica?.status().rollUps.behindRows === 0, 'the roll-ups');
    const lines = server.asked.filter(({ query }) => query.get('rp') === 'rollup_1h').map(({ body }) => body);
    expect(lines.join('')).toContain('reading_1h,end=both,station=a,winder=w1 speed_count=2,speed_last=2,');
  });
});
