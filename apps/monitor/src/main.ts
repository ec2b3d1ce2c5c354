import 'reflect-metadata';
import { NestFactory } from '@nestjs/core';
import type { NestExpressApplication } from '@nestjs/platform-express';
import { json } from 'express';
import { type Logger, pino } from 'pino';
import { AppModule } from './app.module.js';
import { consoleFiles } from './http/console-files.js';
import { openApiOf } from './http/openapi.js';
import { ProblemFilter } from './http/problem.js';
import { sameOrigin } from './http/same-origin.js';
import { securityHeaders } from './http/security-headers.js';
import { programPaths } from './program-paths.js';
import { openRuntime } from './runtime.js';
import { readSettings, type Settings } from './settings/settings.js';
import { SettingsError } from './settings/settings-error.js';

const version = '0.1.0';

async function serve(settings: Settings, log: Logger): Promise<void> {
  const runtime = await openRuntime(settings, log, Date.now);
  const app = await NestFactory.create<NestExpressApplication>(AppModule.around(runtime, log), {
    bodyParser: false,
    logger: false,
  });
  app.disable('x-powered-by');
  app.set('query parser', 'simple');
  app.use(securityHeaders(), sameOrigin());
  app.use('/api', json({ limit: '16kb', type: 'application/json' }));
  app.useGlobalFilters(new ProblemFilter(log));
  app.enableShutdownHooks(['SIGINT', 'SIGTERM'], { useProcessExit: true });
  const description = openApiOf(app, version);
  app.use('/api/openapi.json', (_request: unknown, response: { json: (body: object) => void }) =>
    response.json(description),
  );
  app.use(...consoleFiles(programPaths.console));
  await app.listen(settings.http.port, settings.http.host);
  const { port } = app.getHttpServer().address() as { port: number };
  const address = `http://localhost:${port}`;
  log.info({ address, demo: runtime.isDemo }, 'listening');
  process.stdout.write(
    `\nedge-margin: ${address}${runtime.isDemo ? '  (demonstration: the winders are simulated)' : ''}\n\n`,
  );
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
