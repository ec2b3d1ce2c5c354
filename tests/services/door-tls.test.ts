import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { Agent, request } from 'node:https';
import { request as plainRequest } from 'node:http';
import { join } from 'node:path';
import type { TLSSocket } from 'node:tls';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Authority, makeAuthority } from './support/certificates.js';
import { eventually } from './support/eventually.js';
import { filmPlant } from './support/film-winder.js';
import { freePort } from './support/free-port.js';
import { dataDirectory, refusedStart, type RunningService, startService } from './support/service.js';

const host = 'winders.mill.example';

interface Answer {
  readonly status: number;
  readonly headers: NodeJS.Dict<string | string[]>;
  readonly body: string;
  /** Of the certificate that the service proved itself by. */
  readonly serial: string;
  /** The same where the connection is the same. */
  readonly localPort: number | undefined;
}

describe('TLS by files', () => {
  const data = dataDirectory();
  const file = (name: string): string => join(data.path, name);
  let authority: Authority;
  let service: RunningService;
  let port = 0;
  let environment: Record<string, string> & { readonly DATA_DIR: string };

  const put = async (prefix: string, wanted: Parameters<Authority['issue']>[0]): Promise<void> => {
    const { cert, key } = await authority.issue(wanted);
    writeFileSync(file(`${prefix}.crt`), cert);
    writeFileSync(file(`${prefix}.key`), key, { mode: 0o600 });
  };
  const ask = (
    method: string,
    path: string,
    body?: object,
    headers: Record<string, string> = {},
    agent: Agent | false = false,
  ): Promise<Answer> =>
    new Promise((resolve, reject) => {
      const text = body === undefined ? '' : JSON.stringify(body);
      const sent = request(
        {
          host: '127.0.0.1',
          port,
          method,
          path,
          servername: host,
          ca: authority.ca,
          agent,
          headers: { host: `${host}:${port}`, 'content-type': 'application/json', ...headers },
        },
        (response) => {
          const socket = response.socket as TLSSocket;
          const serial = socket.getPeerCertificate().serialNumber;
          let received = '';
          response.on('data', (chunk: Buffer) => (received += chunk.toString()));
          response.on('end', () =>
            resolve({
              status: response.statusCode ?? 0,
              headers: response.headers,
              body: received,
              serial,
              localPort: socket.localPort,
            }),
          );
        },
      );
      sent.on('error', reject).end(text);
    });

  beforeAll(async () => {
    authority = await makeAuthority('Test authority');
    mkdirSync(data.path, { recursive: true });
    writeFileSync(file('plant.yaml'), filmPlant);
    await put('now', { name: host, hosts: [host] });
    port = await freePort();
    environment = {
      DATA_DIR: file('data'),
      PLANT_FILE: file('plant.yaml'),
      MQTT_URL: 'mqtt://127.0.0.1:1',
      HTTP_HOST: '0.0.0.0',
      HTTP_PORT: String(port),
      HTTP_ALLOWED_HOSTS: host,
      HTTP_OPEN_VIEWING: 'no',
      HTTP_TLS_CERT_FILE: file('now.crt'),
      HTTP_TLS_KEY_FILE: file('now.key'),
    };
    service = await startService(environment);
  });

  afterAll(async () => {
    await service.stop();
    data.remove();
  });

  it('lets the service listen beyond loopback, under its names, with cookies that go over TLS only', async () => {
    expect(service.output()).toContain(`https://${host}:${port}/first-administrator#word=`);
    const word = /#word=(\S+)/.exec(service.output())?.[1];
    const made = await ask(
      'POST',
      '/api/first-administrator',
      { word, name: 'Ada', password: 'one word to begin with' },
      { origin: `https://${host}:${port}`, 'sec-fetch-site': 'same-origin' },
    );
    expect(made.status).toBe(200);
    expect(made.headers['set-cookie']?.[0]).toMatch(
      /^__Host-edge-margin-session=[\w-]{43}; Path=\/; HttpOnly; Secure; SameSite=Strict$/,
    );
    expect(made.headers['strict-transport-security']).toBe('max-age=31536000');
    const cookie = made.headers['set-cookie']![0]!.split(';')[0]!;
    expect((await ask('GET', '/api/people', undefined, { cookie })).status).toBe(200);
    const withoutPrefix = cookie.replace('__Host-', '');
    expect((await ask('GET', '/api/people', undefined, { cookie: withoutPrefix })).status).toBe(401);
    const fromPlainPage = await ask('POST', '/api/session', {}, { origin: `http://${host}:${port}` });
    expect(fromPlainPage.status).toBe(403);
    expect((await ask('GET', '/api/people', undefined, { host: 'evil.example', cookie })).status).toBe(421);
  });

  it('takes a renewed certificate into use while it runs when its files change, and no bad one', async () => {
    const { serial } = await ask('GET', '/health/live');
    await put('next', { name: host, hosts: [host] });
    renameSync(file('next.key'), file('now.key'));
    renameSync(file('next.crt'), file('now.crt'));
    const renewed = await eventually(
      async () => {
        const answer = await ask('GET', '/health/live');
        return answer.serial === serial ? undefined : answer.serial;
      },
      'the renewed certificate',
      30_000,
    );
    await put('now', { name: host, hosts: [host], fromDays: -9, toDays: -1 });
    await eventually(
      () => (/cannot be used.*|expired at/.test(service.output()) ? true : undefined),
      'the refusal of the expired one',
      30_000,
    );
    expect((await ask('GET', '/health/live')).serial).toBe(renewed);
  });

  it('takes a renewed certificate at once on SIGHUP for new connections, and drops no open one', async () => {
    const hangUp = () => process.kill(Number(readFileSync(join(file('data'), 'lock.pid'), 'utf8')), 'SIGHUP');
    const serialNow = async () => (await ask('GET', '/health/live')).serial;
    const isSaid = (words: RegExp, times: number, what: string) =>
      eventually(() => ((service.output().match(words)?.length ?? 0) >= times ? true : undefined), what);
    const taken = /a certificate was taken into use/g;
    const first = await serialNow();
    await put('now', { name: host, hosts: [host] });
    await eventually(async () => ((await serialNow()) === first ? undefined : true), 'what polling finds');
    // Two rounds of polling later nothing but the signal makes it read its files again.
    await new Promise((resolve) => setTimeout(resolve, 4500));
    const times = service.output().match(taken)?.length ?? 0;
    hangUp();
    await isSaid(taken, times + 1, 'the answer to the signal');

    const open = new Agent({ keepAlive: true, maxSockets: 1 });
    const onOpen = async () => {
      const { status, serial, localPort } = await ask('GET', '/health/live', undefined, {}, open);
      return { status, serial, localPort };
    };
    const before = await onOpen();
    expect(before.serial).toBe(await serialNow());
    await put('next', { name: host, hosts: [host] });
    renameSync(file('next.key'), file('now.key'));
    renameSync(file('next.crt'), file('now.crt'));
    hangUp();
    const renewed = await eventually(async () => {
      const serial = await serialNow();
      return serial === before.serial ? undefined : serial;
    }, 'the renewed certificate');
    expect(await onOpen()).toEqual(before);

    writeFileSync(file('now.crt'), 'this was to be a certificate');
    hangUp();
    await isSaid(/it holds no certificate; PEM text/g, 1, 'the refusal, with its reason');
    expect(service.output()).toContain('the changed certificate cannot be used; the one before stays in use');
    expect(await serialNow()).toBe(renewed);
    expect(await onOpen()).toEqual(before);
    open.destroy();
  });

  it('refuses to start with what cannot work, in one line', async () => {
    await put('old', { name: host, hosts: [host], fromDays: -9, toDays: -1 });
    await put('good', { name: host, hosts: [host] });
    for (const [cert, key, words] of [
      ['old.crt', 'old.key', /expired at/],
      ['good.crt', 'old.key', /not the key of the certificate/],
    ] as const) {
      const { code, output } = await refusedStart({
        ...environment,
        HTTP_TLS_CERT_FILE: file(cert),
        HTTP_TLS_KEY_FILE: file(key),
      });
      expect(code, cert).toBe(2);
      expect(output, cert).toMatch(words);
      expect(output.trim(), cert).not.toContain('\n');
    }
  });
});

describe('behind a proxy', () => {
  const data = dataDirectory();
  let service: RunningService;
  let port = 0;

  beforeAll(async () => {
    writeFileSync(join(data.path, 'plant.yaml'), filmPlant);
    port = await freePort();
    service = await startService({
      DATA_DIR: join(data.path, 'data'),
      PLANT_FILE: join(data.path, 'plant.yaml'),
      MQTT_URL: 'mqtt://127.0.0.1:1',
      HTTP_PORT: String(port),
      HTTP_BEHIND_PROXY: 'yes',
      HTTP_ALLOWED_HOSTS: host,
    });
  });

  afterAll(async () => {
    await service.stop();
    data.remove();
  });

  const ask = (
    headers: Record<string, string>,
    body: object,
  ): Promise<{ status: number; cookies: string[] }> =>
    new Promise((resolve, reject) => {
      const all = { host, 'content-type': 'application/json', ...headers };
      const sent = plainRequest({
        host: '127.0.0.1',
        port,
        method: 'POST',
        path: '/api/session',
        headers: all,
      });
      sent.on('response', (response) => {
        response.resume();
        resolve({ status: response.statusCode ?? 0, cookies: response.headers['set-cookie'] ?? [] });
      });
      sent.on('error', reject).end(JSON.stringify(body));
    });

  it('takes passwords only where the proxy says that they came over TLS, and counts attempts by who the proxy says', async () => {
    const body = { name: 'Rosa', password: 'not the password' };
    expect((await ask({}, body)).status).toBe(403);
    expect((await ask({ 'x-forwarded-proto': 'http' }, body)).status).toBe(403);
    const tls = { 'x-forwarded-proto': 'https', origin: `https://${host}` };
    for (let tries = 0; tries < 3; tries += 1)
      expect((await ask({ ...tls, 'x-forwarded-for': `9.9.9.${tries}, 10.0.0.1` }, body)).status).toBe(401);
    expect((await ask({ ...tls, 'x-forwarded-for': '9.9.9.9, 10.0.0.1' }, body)).status).toBe(429);
    expect((await ask({ ...tls, 'x-forwarded-for': '10.0.0.1, 10.0.0.2' }, body)).status).toBe(401);
    expect((await ask({ ...tls, origin: `http://${host}` }, body)).status).toBe(403);
  });
});
