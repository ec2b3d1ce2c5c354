import { readdir, readFile, stat } from 'node:fs/promises';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize } from 'node:path';
import type { AlarmTransition, AlarmView } from '@edge-margin/alarms';
import type {
  AcknowledgeRequest,
  GapsBody,
  KeepingBody,
  LiveEvent,
  ReadingsNotUsedBody,
  SeriesBody,
  ServiceHealthBody,
  ServiceView,
  WinderView,
} from '@edge-margin/monitoring';
import { reason } from '../../libs/units/src/index.js';
import { fixtureNowMs, serviceFixture } from '../../apps/console/src/fixtures/station-fixtures.js';
import {
  type FakeAnswer,
  type FakeDoor,
  fakeDoor,
  type FakeDoorSetup,
  type FakeRequest,
  problem,
} from './console-fake-door.js';
import { healthFixture, keepingFixture } from './console-fake-health.js';
import { inWindows } from './console-fake-windows.js';

/**
 * A small server of the console's pages and of invented data, typed by the frozen contract: it stands in for the service where the pages
 * themselves are tested. Its policy for scripts and styles is stricter than the service's: nothing inline at all.
 */
export interface FakeApi {
  readonly url: string;
  /** Requests that acknowledged, as they came. */
  readonly acknowledged: (AcknowledgeRequest & { readonly alarmKey: string })[];
  readonly door: FakeDoor;
  readonly send: (event: LiveEvent) => void;
  /** From now on every acknowledgement is refused in these words; null takes it back. */
  readonly refuse: (words: string | null) => void;
  /** Says nothing any more but keeps the line open: a half-open connection. */
  readonly fallSilent: () => void;
  /** Ends every open stream, as the service does when a session is over. */
  readonly dropStreams: () => void;
  readonly stop: () => Promise<void>;
}

export interface FakeFloor {
  readonly winders: readonly WinderView[];
  readonly service?: Partial<ServiceView>;
  /** Stations (`winder/station`) from which nothing new comes. */
  readonly stale?: readonly string[];
  readonly journal?: readonly AlarmTransition[];
  readonly door?: FakeDoorSetup;
  readonly health?: ServiceHealthBody;
  readonly notUsed?: ReadingsNotUsedBody;
  readonly gaps?: GapsBody;
  readonly keeping?: KeepingBody;
  /** Trends of windows with bands, instead of points. */
  readonly windowed?: boolean;
  /** A part of every trend without points, and whether it is recorded as a gap. */
  readonly hole?: readonly [fromShare: number, toShare: number];
  readonly recorded?: boolean;
  /** The service's own. */
  readonly serviceAlarms?: readonly AlarmView[];
  readonly port?: number;
}

const dist = new URL('../../apps/console/dist/', import.meta.url).pathname;
const sources = new URL('../../apps/console/src/', import.meta.url).pathname;
const policy =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";
const types: Readonly<Record<string, string>> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
};

export async function startFakeApi(floor: FakeFloor): Promise<FakeApi> {
  await needBuiltConsole();
  const startedMs = performance.now();
  const nowMs = (): number => fixtureNowMs + (performance.now() - startedMs);
  const service = (): ServiceView => serviceFixture({ ...floor.service, nowMs: nowMs() });
  const listeners = new Set<ServerResponse>();
  const acknowledged: FakeApi['acknowledged'] = [];
  const door = fakeDoor(floor.door);
  let winders = floor.winders;
  let silent = false;
  let refusal: string | null = null;

  const write = (response: ServerResponse, event: LiveEvent): void => {
    if (!silent)
      response.write(
        `id: ${String(performance.now())}\nevent: ${event.type}\ndata: ${JSON.stringify(event.data)}\n\n`,
      );
  };
  const send = (event: LiveEvent): void => {
    if (event.type === 'alarm') winders = withAlarm(winders, event.data);
    for (const response of listeners) write(response, event);
  };
  const present = (): readonly WinderView[] =>
    winders.map((winder) => fresh(winder, nowMs(), floor.stale ?? []));
  const assessments = (): readonly LiveEvent[] =>
    present().flatMap((winder) =>
      winder.stations.flatMap((station) => {
        const held = (floor.stale ?? []).includes(`${winder.id}/${station.id}`);
        return station.assessment === null || held
          ? []
          : [{ type: 'assessment', data: station.assessment } as const];
      }),
    );

  const live = (response: ServerResponse): void => {
    response.writeHead(200, { 'content-type': 'text/event-stream', 'cache-control': 'no-store' });
    listeners.add(response);
    response.on('close', () => listeners.delete(response));
    for (const event of [{ type: 'service', data: service() } as const, ...assessments()])
      write(response, event);
    if (silent) response.write(': open\n\n');
  };
  const acknowledge = (request: FakeRequest): FakeAnswer => {
    const alarmKey = decodeURIComponent(request.path.split('/')[3] ?? '');
    const body = request.body as AcknowledgeRequest;
    const actor = door.acting(request, body.acting);
    if (typeof actor !== 'string') return actor;
    acknowledged.push({ ...body, alarmKey });
    const alarm = [
      ...winders.flatMap((winder) => winder.stations.flatMap((station) => station.alarms)),
      ...(floor.serviceAlarms ?? []),
    ].find((candidate) => candidate.alarmKey === alarmKey);
    if (refusal !== null || alarm === undefined) return problem(409, refusal ?? 'no such alarm');
    const done = acknowledgedBy(alarm, actor, body.comment ?? null, nowMs());
    setTimeout(() => send({ type: 'alarm', data: done }));
    return { status: 200, body: { alarm: done } };
  };
  const viewed = (request: FakeRequest, query: URLSearchParams): FakeAnswer | null => {
    const { path } = request;
    const ok = (body: unknown): FakeAnswer => ({ status: 200, body });
    if (path === '/api/service-health')
      return door.refusal(request, 'view-service-health') ?? ok(floor.health ?? healthFixture());
    if (path === '/api/keeping')
      return door.refusal(request, 'view-service-health') ?? ok(floor.keeping ?? keepingFixture());
    const closed = door.refusal(request, 'view');
    if (closed !== null) return closed;
    if (path === '/api/winders') return ok({ winders: present(), service: service() });
    if (path === '/api/alarms') return ok({ alarms: floor.serviceAlarms ?? [] });
    if (path === '/api/alarms/journal') return ok({ transitions: floor.journal ?? [] });
    if (path === '/api/readings-not-used') return ok(floor.notUsed ?? { total: 0, byReason: [] });
    if (path === '/api/gaps') return ok(floor.gaps ?? { gaps: [], more: false });
    if (!path.endsWith('/series')) return null;
    const found = withHole(series(query), query, floor.hole, floor.recorded === true);
    return ok(floor.windowed === true ? inWindows(found) : found);
  };

  const api = async (message: IncomingMessage, response: ServerResponse, url: URL): Promise<void> => {
    const { cookie, 'x-csrf-token': token } = message.headers;
    const text = await bodyOf(message);
    const request: FakeRequest = {
      method: message.method ?? 'GET',
      path: url.pathname,
      token: token as string | undefined,
      cookie,
      body: text === '' ? undefined : (JSON.parse(text) as unknown),
      query: url.searchParams,
    };
    if (request.path === '/api/live' && door.refusal(request, 'view') === null) {
      live(response);
      return;
    }
    const answer =
      door.answer(request) ??
      (request.path.endsWith('/acknowledge') ? acknowledge(request) : viewed(request, url.searchParams));
    answered(response, answer ?? problem(404, `nothing at ${request.path}`));
  };

  const server = createServer((request, response) => {
    const url = new URL(request.url ?? '/', 'http://localhost');
    response.setHeader('content-security-policy', policy);
    response.setHeader('x-content-type-options', 'nosniff');
    const answer = url.pathname.startsWith('/api/')
      ? api(request, response, url)
      : file(response, url.pathname);
    answer.catch((error: unknown) => response.destroy(error instanceof Error ? error : undefined));
  });
  const beat = setInterval(() => assessments().forEach(send), 1_000);
  const pulse = setInterval(() => send({ type: 'service', data: service() }), 5_000);
  await new Promise<void>((resolve) => server.listen(floor.port ?? 0, '127.0.0.1', resolve));

  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    acknowledged,
    door,
    send,
    refuse: (words) => (refusal = words),
    fallSilent: () => (silent = true),
    dropStreams: () => {
      for (const response of listeners) response.end();
    },
    stop: async () => {
      clearInterval(beat);
      clearInterval(pulse);
      await closed(server);
    },
  };
}

/** The pages under test are the built ones; an old build would test what is no longer there. */
async function needBuiltConsole(): Promise<void> {
  const builtMs = await stat(join(dist, 'index.html')).then(
    ({ mtimeMs }) => mtimeMs,
    () => 0,
  );
  const names = await readdir(sources, { recursive: true });
  const changed = await Promise.all(
    names.filter((name) => !name.endsWith('.test.ts')).map((name) => stat(join(sources, name))),
  );
  const newestMs = Math.max(...changed.filter((entry) => entry.isFile()).map(({ mtimeMs }) => mtimeMs));
  if (builtMs < newestMs)
    throw new Error(
      'the console is not built, or older than its sources: npm run build -w @edge-margin/console',
    );
}

/** The same winder, assessed now; forecasts keep their instants. */
function fresh(winder: WinderView, nowMs: number, stale: readonly string[]): WinderView {
  const stations = winder.stations.map((station) => {
    if (station.assessment === null || stale.includes(`${winder.id}/${station.id}`)) return station;
    const inputs = station.assessment.inputs.map((input) => ({
      ...input,
      atMs: input.quality === 'good' ? nowMs : input.atMs,
    }));
    return { ...station, assessment: { ...station.assessment, atMs: nowMs, inputs } };
  });
  return { ...winder, stations };
}

function withAlarm(winders: readonly WinderView[], alarm: AlarmView): readonly WinderView[] {
  return winders.map((winder) => ({
    ...winder,
    stations: winder.stations.map((station) =>
      winder.id === alarm.winderId && station.id === alarm.stationId
        ? {
            ...station,
            alarms: [
              ...station.alarms.filter((other) => other.alarmKey !== alarm.alarmKey),
              ...(alarm.state === 'NORM' ? [] : [alarm]),
            ],
          }
        : station,
    ),
  }));
}

function acknowledgedBy(alarm: AlarmView, actor: string, comment: string | null, atMs: number): AlarmView {
  return {
    ...alarm,
    state: alarm.state === 'RTNUN' ? 'NORM' : 'ACKED',
    acknowledged: { atMs, actor, comment },
  };
}

/** Invented past: a steady signal with a swing, and a gap in the middle third of the diameter. */
function series(query: URLSearchParams): SeriesBody {
  const from = Number(query.get('from'));
  const to = Number(query.get('to'));
  const count = Math.min(400, Number(query.get('maxPoints')));
  const shapes: Readonly<Record<string, (share: number) => number | null>> = {
    'reading:speed@both': (share) => (share < 0.1 ? 100 * share : 10.33 + 0.05 * Math.sin(60 * share)),
    'reading:nipLoad@tending': (share) => 3010 + 25 * Math.sin(80 * share),
    'reading:nipLoad@drive': (share) => 2960 + 60 * Math.sin(75 * share),
    'assessment:diameterM': (share) => (share > 0.4 && share < 0.5 ? null : Math.sqrt(0.023 + 0.32 * share)),
    'assessment:marginRatio': (share) => 0.75 - 0.42 * share,
    'assessment:edgeRisk': (share) => 0.01 + 0.03 * share ** 4,
  };
  return {
    series: query.getAll('field').map((field) => {
      const shape = shapes[field] ?? (() => null);
      const points = Array.from(
        { length: count },
        (_, at) => [from + ((to - from) * at) / count, shape(at / count)] as const,
      );
      return {
        field,
        points: points.filter((point): point is [number, number] => point[1] !== null),
        thinned: true,
        resolution: 'raw' as const,
        source: 'local' as const,
        intervalMs: null,
        band: [],
        partial: null,
      };
    }),
    gaps: [],
  };
}

/** The same trends with nothing in a part of their time. */
function withHole(
  { series: all }: SeriesBody,
  query: URLSearchParams,
  hole: FakeFloor['hole'],
  recorded: boolean,
): SeriesBody {
  const [from, to] = [Number(query.get('from')), Number(query.get('to'))];
  const [fromMs, toMs] = (hole ?? [2, 2]).map((share) => from + share * (to - from)) as [number, number];
  const because = reason('session-lost', 'the broker had not kept our session');
  return {
    series: all.map((one) => ({
      ...one,
      points: one.points.filter(([atMs]) => atMs < fromMs || atMs > toMs),
    })),
    gaps: recorded ? [{ what: 'messages', fromMs, toMs, count: null, because }] : [],
  };
}

async function file(response: ServerResponse, path: string): Promise<void> {
  const name = extname(path) === '' ? 'index.html' : normalize(path);
  try {
    const body = await readFile(join(dist, name));
    response.writeHead(200, { 'content-type': types[extname(name)] ?? 'application/octet-stream' });
    response.end(body);
  } catch {
    answered(response, problem(404, `no file ${path}`));
  }
}

function answered(response: ServerResponse, { body, headers = {}, status }: FakeAnswer): void {
  const type = status >= 400 ? 'application/problem+json' : 'application/json';
  response.writeHead(status, { ...headers, ...(body === undefined ? {} : { 'content-type': type }) });
  response.end(body === undefined ? undefined : JSON.stringify(body));
}

async function bodyOf(request: IncomingMessage): Promise<string> {
  const parts: Buffer[] = [];
  for await (const part of request) parts.push(part as Buffer);
  return Buffer.concat(parts).toString('utf8');
}

function closed(server: Server): Promise<void> {
  server.closeAllConnections();
  return new Promise((resolve) => server.close(() => resolve()));
}
