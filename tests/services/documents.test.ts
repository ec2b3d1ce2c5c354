import type { AlarmsBody, NewKeyBody, PersonBody } from '@edge-margin/monitoring';
import { readPlant } from '@edge-margin/plant';
import { subscriptions } from '@edge-margin/telemetry';
import { Ajv, type ValidateFunction } from 'ajv';
import { Ajv2020 } from 'ajv/dist/2020.js';
import mqtt, { type MqttClient } from 'mqtt';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from './support/eventually.js';
import { filmPlant, publishFilm } from './support/film-winder.js';
import { firstWord, signedInBy, signIn, type SignedIn } from './support/first-administrator.js';
import { type Mosquitto, startMosquitto } from './support/mosquitto.js';
import { runProgram } from './support/running-program.js';
import { dataDirectory, readyOf, type RunningService, startService } from './support/service.js';

interface Operation {
  readonly operationId: string;
  readonly parameters?: readonly {
    readonly name: string;
    readonly in: 'path' | 'query';
    readonly required?: boolean;
  }[];
  readonly requestBody?: { readonly content: Record<string, { readonly example?: object }> };
  readonly responses: Record<string, { readonly content?: Record<string, { readonly schema?: object }> }>;
}
interface OpenApi {
  readonly openapi: string;
  readonly paths: Record<string, Record<string, Operation>>;
  readonly components: { readonly schemas: Record<string, object> };
}
interface AsyncApi {
  readonly channels: Record<
    string,
    {
      readonly address: string;
      readonly messages: Record<string, { readonly contentType: string; readonly payload: object }>;
      readonly 'x-subscribed-as'?: string;
    }
  >;
  readonly operations: Record<
    string,
    { readonly action: 'send' | 'receive'; readonly channel: { readonly $ref: string } }
  >;
  readonly components: { readonly schemas: Record<string, object> };
}

const sources = fileURLToPath(new URL('../../apps/monitor/src', import.meta.url));
const password = 'a long word for the tests';

/** The running service with everything that it can publish, and what it published. */
describe('the documents', () => {
  const data = dataDirectory();
  const published: { topic: string; payload: string; retain: boolean; qos: number }[] = [];
  let broker: Mosquitto;
  let influx: Server;
  let service: RunningService;
  let gateway: MqttClient;
  let ada: SignedIn;
  let firstAnswer: Response;
  /** What was made for one operation, by its id. */
  let ids: Readonly<Record<string, string>> = {};
  let open: OpenApi;
  let async: AsyncApi;

  beforeAll(async () => {
    broker = await startMosquitto({ access: 'allow_anonymous true\nlog_type subscribe\nlog_type error' });
    // Refuses whoever asks, so that the service has an alarm of its own.
    influx = createServer((_request, response) => response.writeHead(401).end());
    await new Promise<void>((resolve) => influx.listen(0, '127.0.0.1', resolve));
    gateway = await mqtt.connectAsync(broker.url, { protocolVersion: 5 });
    gateway.on('message', (topic, payload, { retain, qos }) =>
      published.push({ topic, payload: payload.toString(), retain, qos }),
    );
    await gateway.subscribeAsync('edge-margin/#', { qos: 1, rap: true });
    const plantFile = join(data.path, 'plant.yaml');
    writeFileSync(plantFile, filmPlant);
    service = await startService({
      DATA_DIR: join(data.path, 'data'),
      PLANT_FILE: plantFile,
      MQTT_URL: broker.url,
      INFLUX_URL: `http://127.0.0.1:${(influx.address() as AddressInfo).port}`,
    });
    await readyOf(service);
    const made = await send('POST', '/api/first-administrator', {
      word: firstWord(service),
      name: 'Ada',
      password,
    });
    firstAnswer = made.clone();
    ada = await signedInBy(made);
    await send('POST', '/api/people', { name: 'Otto', role: 'engineer', password }, ada);
    const petra = await send('POST', '/api/people', { name: 'Petra', role: 'viewer', password }, ada);
    const key = await send(
      'POST',
      '/api/keys',
      { label: 'to be ended', actions: ['view'], validDays: 1 },
      ada,
    );
    ids = {
      PeopleController_change: ((await petra.json()) as PersonBody).person.id,
      KeysController_end: ((await key.json()) as NewKeyBody).view.id,
    };
    const otto = await signIn(service, 'Otto', password);
    await publishFilm(gateway, { startMs: Date.now() - 30_000, from: 0, to: 150 });
    const alarms = await eventually(
      async () => {
        const body = (await (await send('GET', '/api/alarms', undefined, otto)).json()) as AlarmsBody;
        const mechanisms = new Set(body.alarms.map(({ mechanism }) => mechanism));
        return mechanisms.has('air') && mechanisms.has('service') ? body.alarms : undefined;
      },
      'an alarm of a station and one of the service',
      40_000,
    );
    const air = alarms.find(({ mechanism }) => mechanism === 'air')!;
    ids = { ...ids, AlarmsController_acknowledge: air.occurrenceId };
    await send('POST', `/api/alarms/${air.alarmKey}/acknowledge`, { occurrenceId: air.occurrenceId }, otto);
    open = (await (await send('GET', '/api/openapi.json', undefined, otto)).json()) as OpenApi;
    async = (await (await send('GET', '/api/asyncapi.json', undefined, otto)).json()) as AsyncApi;
  });

  afterAll(async () => {
    await gateway.endAsync();
    await service.stop();
    await broker.dispose();
    await new Promise((resolve) => influx.close(resolve));
    data.remove();
  });

  function send(method: string, path: string, body?: unknown, who?: SignedIn): Promise<Response> {
    return fetch(service.url + path, {
      method,
      headers: {
        ...who?.headers,
        ...(body === undefined ? {} : { 'content-type': 'application/json' }),
      },
      ...(body === undefined ? {} : { body: typeof body === 'string' ? body : JSON.stringify(body) }),
    });
  }

  /** What a program of ours says about a document. */
  async function said(program: string, document: object): Promise<string> {
    const file = join(data.path, 'document.json');
    writeFileSync(file, JSON.stringify(document));
    const path = fileURLToPath(new URL(`support/${program}`, import.meta.url));
    const running = runProgram(process.execPath, [path, file]);
    await running.exited;
    return running.output().trim();
  }

  describe('of the HTTP side', () => {
    it('are OpenAPI 3.1 that the recommended rules of a linter find nothing in', async () => {
      expect(open.openapi).toMatch(/^3\.1\./);
      expect(await said('lint-openapi.mjs', open)).toBe('linted');
      expect(await said('lint-openapi.mjs', { ...open, security: [{ unknown: [] }] })).not.toBe('linted');
    });

    it('name every route that stands in the code, and no other', () => {
      const written = readdirSync(sources, { recursive: true, encoding: 'utf8' })
        .filter((file) => file.endsWith('.controller.ts'))
        .flatMap((file) => routesIn(readFileSync(join(sources, file), 'utf8')));
      const described = Object.entries(open.paths).flatMap(([path, item]) =>
        Object.keys(item).map((method) => `${method} ${path}`),
      );
      expect(described.sort()).toEqual(written.sort());
    });

    it('hold for every answer that every route gives, to whoever asks whatever', async () => {
      const check = answerChecker(open);
      const answeredWell = new Set<string>();
      const faults: string[] = [];
      const drive = async (
        { method, operation }: Route,
        attempt: Attempt,
        who: SignedIn | undefined,
      ): Promise<void> => {
        const response = await send(method, attempt.path, attempt.body, who);
        if (response.ok) answeredWell.add(operation.operationId);
        const asked = `${method} ${attempt.path} ${JSON.stringify(attempt.body ?? null).slice(0, 80)}`;
        for (const fault of await check(operation, response)) faults.push(`${asked}: ${fault}`);
      };
      const routes = routesOf(open);
      const otto = await signIn(service, 'Otto', password);
      for (const route of routes)
        for (const who of [undefined, otto, ada])
          for (const attempt of wrongAttempts(route)) await drive(route, attempt, who);
      // The operating map is drawn around what the station does now.
      await publishFilm(gateway, { startMs: Date.now() - 10_000, from: 0, to: 50 });
      for (const route of routes) {
        const right = rightAttempt(route, ids);
        const { operationId } = route.operation;
        // Some end the sign-in that they are asked with.
        if (endsSignIn.has(operationId)) await drive(route, right, await signIn(service, 'Petra', password));
        else for (const who of [undefined, otto, ada]) await drive(route, right, who);
      }
      // There is one first administrator, so that answer was kept.
      const first = routes.find(({ path }) => path === '/api/first-administrator')!.operation;
      faults.push(...(await check(first, firstAnswer)));
      answeredWell.add(first.operationId);
      expect(faults).toEqual([]);
      // What nobody ever got an answer of success from was not really tried.
      const all = routes.map(({ operation }) => operation.operationId);
      expect(all.filter((operationId) => !answeredWell.has(operationId))).toEqual([]);
    });

    it('hold for what is asked in a way that no route wants', async () => {
      const checked = answerChecker(open);
      const acknowledge = open.paths['/api/alarms/{alarmKey}/acknowledge']!['post']!;
      for (const body of ['{"occurrenceId":', JSON.stringify({ occurrenceId: 'x'.repeat(20_000) }), '[]'])
        expect(
          await checked(acknowledge, await send('POST', '/api/alarms/a/acknowledge', body, ada)),
        ).toEqual([]);
    });

    it('would not hold for another status, another type or another body', async () => {
      const checked = answerChecker(open);
      const alarms = open.paths['/api/alarms']!['get']!;
      const json = { 'content-type': 'application/json' };
      const answer = (body: string, status: number, headers: Record<string, string>) =>
        checked(alarms, new Response(body, { status, headers }));
      expect(await answer('{"alarms":[]}', 200, json)).toEqual([]);
      expect(await answer('{"alarms":[]}', 202, json)).not.toEqual([]);
      expect(await answer('{"alarms":[]}', 200, { 'content-type': 'text/html' })).not.toEqual([]);
      expect(await answer('{"alarms":[],"more":1}', 200, json)).not.toEqual([]);
    });
  });

  describe('of the MQTT side', () => {
    it('are AsyncAPI 3 that its parser takes without a complaint', async () => {
      expect(await said('parse-asyncapi.mjs', async)).toBe('parsed as 3.0.0');
    });

    it('would not be taken with a message that is missing', async () => {
      const { status, ...channels } = async.channels;
      expect(status).toBeDefined();
      expect(await said('parse-asyncapi.mjs', { ...async, channels })).not.toBe('parsed as 3.0.0');
    });

    it('have a channel for every filter that the service has subscribed, as the broker saw it', async () => {
      const asked = [...broker.log().matchAll(/: edge-margin-testsite 1 (\S+)$/gm)].map(
        ([, filter]) => filter,
      );
      const plant = readPlant(filmPlant);
      if (!plant.ok) throw new Error('the plant file is wrong');
      const expected = [...subscriptions(plant.plant), 'edge-margin/testsite/echo'];
      expect(asked).toEqual(expect.arrayContaining(expected));
      const described = new Set(
        Object.values(async.channels).flatMap((channel) => channel['x-subscribed-as'] ?? []),
      );
      expect([...new Set(asked)].sort()).toEqual([...described].sort());
    });

    it('hold for every message that the service publishes, and each kind was seen', () => {
      const check = messageChecker(async);
      const channels = published.map((message) => check(message));
      expect(channels.filter(({ fault }) => fault !== undefined)).toEqual([]);
      const sent = Object.values(async.operations)
        .filter(({ action }) => action === 'send')
        .map(({ channel }) => channel.$ref.split('/').at(-1));
      expect([...new Set(channels.map(({ channel }) => channel))].sort()).toEqual([...new Set(sent)].sort());
    });

    it('would not hold for another payload or another topic', () => {
      const check = messageChecker(async);
      const status = {
        topic: 'edge-margin/testsite/status',
        payload: '{"online":true}',
        retain: true,
        qos: 1,
      };
      expect(check(status).fault).toBeUndefined();
      expect(check({ ...status, payload: '{"online":"yes"}' }).fault).toBeDefined();
      expect(check({ ...status, topic: 'edge-margin/testsite/state' }).fault).toBeDefined();
    });
  });
});

/** Routes as the decorators of a controller write them: `get /api/winders/{winderId}`. */
function routesIn(source: string): string[] {
  const base = /@Controller\('([^']*)'\)/.exec(source)?.[1] ?? '';
  return [...source.matchAll(/^ {2}@(Get|Post|Put|Patch|Delete|Sse)\((?:'([^']*)')?\)/gm)].map(
    ([, method = '', path = '']) => {
      const whole = [base, path].filter((part) => part !== '').join('/');
      const verb = method === 'Sse' ? 'get' : method.toLowerCase();
      return `${verb} /${whole.replace(/:(\w+)/g, '{$1}')}`;
    },
  );
}

interface Route {
  readonly method: string;
  readonly path: string;
  readonly operation: Operation;
}

function routesOf({ paths }: OpenApi): readonly Route[] {
  return Object.entries(paths).flatMap(([path, item]) =>
    Object.entries(item).map(([method, operation]) => ({ method: method.toUpperCase(), path, operation })),
  );
}

interface Attempt {
  readonly path: string;
  readonly body?: unknown;
}

/** What is right in a path or a query, by the name of the parameter. */
const rightValues: Readonly<Record<string, string>> = {
  winderId: 'film-9',
  alarmKey: 'film-9.a.air',
  station: 'a',
  field: 'reading:speed',
  over: 'diameter',
  steps: '10',
};

const endsSignIn = new Set([
  'SessionController_signIn',
  'SessionController_signOut',
  'SessionController_changePassword',
  'SessionController_changePin',
]);

/** What is right in a body, where the example of the description is not. */
const rightBodies: Readonly<Record<string, object>> = {
  SessionController_signIn: { name: 'Petra', password },
  SessionController_changePassword: { password, newPassword: password },
  SessionController_changePin: { password, newPin: '271828' },
  PeopleController_change: { role: 'operator' },
};

/** A request as it should be: with the example of the description, where nothing else is right. */
function rightAttempt({ path, operation }: Route, ids: Readonly<Record<string, string>>): Attempt {
  const { operationId, requestBody } = operation;
  const id = ids[operationId] ?? 'none';
  const body =
    operationId === 'AlarmsController_acknowledge'
      ? { occurrenceId: id }
      : (rightBodies[operationId] ?? Object.values(requestBody?.content ?? {})[0]?.example);
  return {
    path: addressed(path, operation, { ...rightValues, id }),
    ...(requestBody === undefined ? {} : { body }),
  };
}

/** Requests with wrong parameters, without a body, and with a wrong one. */
function wrongAttempts({ path, operation }: Route): readonly Attempt[] {
  const { operationId, parameters = [], requestBody } = operation;
  const wrong = addressed(
    path,
    operation,
    Object.fromEntries(parameters.map(({ name }) => [name, 'w r o n g'])),
  );
  if (requestBody !== undefined)
    return [
      { path: addressed(path, operation, rightValues), body: {} },
      { path: wrong, body: { wrong: 'w r o n g' } },
    ];
  return parameters.length === 0 || endsSignIn.has(operationId) ? [] : [{ path: wrong }];
}

function addressed(
  path: string,
  { parameters = [] }: Operation,
  values: Readonly<Record<string, string>>,
): string {
  const inPath = path.replace(/\{(\w+)\}/g, (_whole, name: string) =>
    encodeURIComponent(values[name] ?? 'none'),
  );
  const query = parameters.filter((one) => one.in === 'query' && values[one.name] !== undefined);
  const text = query.map(({ name }) => `${name}=${encodeURIComponent(values[name] ?? '')}`).join('&');
  return text === '' ? inPath : `${inPath}?${text}`;
}

type AnswerCheck = (operation: Operation, response: Response) => Promise<readonly string[]>;

/** Checks status, media type and body of an answer against its operation. */
function answerChecker({ components }: OpenApi): AnswerCheck {
  const ajv = new Ajv2020({ strict: false, allErrors: true });
  ajv.addSchema({ $id: 'api', components });
  const validators = new Map<string, ValidateFunction>();
  const validatorOf = (schema: object): ValidateFunction => {
    const text = JSON.stringify(schema).replaceAll('"#/components/', '"api#/components/');
    const known = validators.get(text) ?? ajv.compile(JSON.parse(text) as object);
    validators.set(text, known);
    return known;
  };
  return async ({ responses }, response) => {
    const { status, headers } = response;
    const described = responses[status];
    if (described === undefined) {
      return [`${status} is not described: ${(await response.text()).slice(0, 200)}`];
    }
    const type = headers.get('content-type')?.split(';')[0];
    if (type === 'text/event-stream') {
      await response.body?.cancel();
      return described.content === undefined || type in described.content
        ? []
        : ['a stream is not described'];
    }
    const body = await response.text();
    if (described.content === undefined) return body === '' ? [] : [`${status}: a body is not described`];
    const content = Object.entries(described.content).find(([name]) => name.split(';')[0] === type);
    if (content === undefined) return [`${status}: ${type ?? 'no type'} is not described`];
    const schema = content[1].schema;
    if (schema === undefined || type?.includes('json') !== true) return [];
    const validate = validatorOf(schema);
    if (validate(JSON.parse(body))) return [];
    return (validate.errors ?? [])
      .slice(0, 3)
      .map(({ instancePath, message }) => `${status}: ${instancePath} ${message ?? ''}`);
  };
}

interface Message {
  readonly topic: string;
  readonly payload: string;
  readonly retain: boolean;
  readonly qos: number;
}
type MessageCheck = (message: Message) => { readonly channel?: string; readonly fault?: string };

/** Finds the channel of a published message and checks its payload, its QoS and whether it is retained. */
function messageChecker({ channels, operations, components }: AsyncApi): MessageCheck {
  const ajv = new Ajv({ strict: false, allErrors: true });
  ajv.addSchema({ $id: 'api', components });
  const sending = Object.values(operations).filter(({ action }) => action === 'send');
  const candidates = sending.map((operation) => {
    const name = operation.channel.$ref.split('/').at(-1) ?? '';
    const { address, messages } = channels[name]!;
    const pattern = new RegExp(`^${address.replaceAll('.', '\\.').replace(/\{\w+\}/g, '[^/]+')}$`);
    const [message] = Object.values(messages);
    const text = JSON.stringify(message?.payload ?? {}).replaceAll('"#/components/', '"api#/components/');
    const { qos, retain } = (operation as unknown as { bindings: { mqtt: { qos: number; retain: boolean } } })
      .bindings.mqtt;
    return {
      name,
      pattern,
      isJson: message?.contentType === 'application/json',
      validate: ajv.compile(JSON.parse(text) as object),
      qos,
      retain,
    };
  });
  return ({ topic, payload, qos, retain }) => {
    const found = candidates.find(({ pattern }) => pattern.test(topic));
    if (found === undefined) return { fault: `${topic}: no channel` };
    if (qos !== found.qos || retain !== found.retain)
      return { channel: found.name, fault: `${topic}: QoS ${qos}, retain ${retain}` };
    if (found.validate(found.isJson ? JSON.parse(payload) : payload)) return { channel: found.name };
    const [first] = found.validate.errors ?? [];
    return { channel: found.name, fault: `${topic}: ${first?.instancePath ?? ''} ${first?.message ?? ''}` };
  };
}
