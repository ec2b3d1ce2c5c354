import 'reflect-metadata';
import { NestFactory } from '@nestjs/core';
import type { NestExpressApplication } from '@nestjs/platform-express';
import { json, type Request } from 'express';
import { readFileSync } from 'node:fs';
import type { Server } from 'node:https';
import { type Logger, pino } from 'pino';
import { AppModule } from './app.module.js';
import { type Door, openDoor } from './door/door.js';
import { everyRouteSaysWho } from './door/every-route-says-who.js';
import { peerOf } from './door/peer.js';
import { consoleFiles } from './http/console-files.js';
import type { Documents } from './http/documents.controller.js';
import { openApiOf } from './http/openapi.js';
import { ProblemFilter } from './http/problem.js';
import { sameOrigin } from './http/same-origin.js';
import { securityHeaders } from './http/security-headers.js';
import { serviceAddress } from './http/service-address.js';
import { renewTls } from './http/tls-renewal.js';
import { programPaths } from './program-paths.js';
import { programVersion } from './program-version.js';
import { openRuntime } from './runtime.js';
import { readSettings, type Settings } from './settings/settings.js';
import { SettingsError } from './settings/settings-error.js';
import { readTlsFiles } from './settings/tls-files.js';
import { DOCUMENTS } from './tokens.js';

async function serve(settings: Settings, log: Logger): Promise<void> {
  const { http } = settings;
  const tls = http.tls === undefined ? undefined : readTlsFiles(http.tls, tlsCheck(http.allowedHosts));
  const runtime = await openRuntime(settings, log, Date.now);
  const door = await openDoor({
    records: runtime.store.door,
    settings: settings.door,
    openViewing: http.openViewing,
    behindProxy: http.behindProxy,
    isDemo: runtime.isDemo,
    log,
    now: Date.now,
    auditKeptMs: settings.keeping.auditMs,
    knownTime: runtime.knownTime.now,
  });
  const app = await NestFactory.create<NestExpressApplication>(AppModule.around(runtime, door, log), {
    bodyParser: false,
    logger: false,
    ...(tls === undefined ? {} : { httpsOptions: { cert: tls.cert, key: tls.key } }),
  });
  app.disable('x-powered-by');
  app.set('query parser', 'simple');
  const peer = (request: Request) => peerOf(request, http.behindProxy);
  app.use(
    securityHeaders((request) => peer(request).isEncrypted),
    sameOrigin({ ...http, peerOf: peer }),
  );
  app.use('/api', json({ limit: '16kb', type: 'application/json' }));
  app.useGlobalFilters(new ProblemFilter(log));
  app.enableShutdownHooks(['SIGINT', 'SIGTERM'], { useProcessExit: true });
  const documents = app.get<Documents>(DOCUMENTS);
  documents.openApi = openApiOf(app, programVersion);
  everyRouteSaysWho(app);
  app.use(...consoleFiles(programPaths.console));
  await app.listen(http.port, http.host);
  const { port } = app.getHttpServer().address() as { port: number };
  if (http.tls !== undefined && tls !== undefined)
    renewTls({
      server: app.getHttpServer() as unknown as Server,
      files: http.tls,
      endsAtMs: tls.endsAtMs,
      allowedHosts: http.allowedHosts,
      log,
      now: Date.now,
    });
  // Else the signal that asks for renewed files would end a service that has none.
  else process.on('SIGHUP', () => log.info('nothing is read again on SIGHUP: there are no files for TLS'));
  const address = serviceAddress(http, port);
  log.info({ address, demo: runtime.isDemo }, 'listening');
  process.stdout.write(
    `\nedge-margin: ${address}${runtime.isDemo ? '  (demonstration: the winders are simulated)' : ''}\n${firstAdministratorLine(door, address)}\n`,
  );
}

function tlsCheck(allowedHosts: readonly string[]) {
  return { readFile: (path: string) => readFileSync(path, 'utf8'), nowMs: Date.now(), allowedHosts };
}

/** The one-time link; after the sign, so that no proxy and no log of requests ever sees the word. */
function firstAdministratorLine(door: Door, address: string): string {
  const { word } = door.firstWord;
  if (word === null) return '';
  return `edge-margin: there is no administrator yet; make the first one at ${address}/first-administrator#word=${word}\n`;
}

function fail(error: unknown): never {
  if (error instanceof SettingsError) {
    process.stderr.write(`${error.message}\n`);
    process.exit(2);
  }
  process.stderr.write(
    `edge-margin did not start: ${error instanceof Error ? error.message : String(error)}\n`,
  );
  process.exit(1);
}

try {
  const settings = readSettings(process.env);
  await serve(
    settings,
    pino({ level: settings.logLevel, base: null, timestamp: pino.stdTimeFunctions.isoTime }),
  );
} catch (error) {
  fail(error);
}
