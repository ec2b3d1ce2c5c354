import { readFileSync } from 'node:fs';
import { z } from 'zod';

/** The service's settings, read from the environment once at the start. Nothing else reads `process.env`. */
export interface Settings {
  readonly http: { readonly host: string; readonly port: number };
  readonly dataDirectory: string;
  /** Undefined: the built-in demonstration (simulated winders, a broker of its own). */
  readonly plant: { readonly file: string; readonly broker: BrokerSettings } | undefined;
  readonly influx: InfluxSettings | undefined;
  readonly logLevel: string;
}

export interface BrokerSettings {
  readonly url: string;
  readonly username: string | undefined;
  readonly password: string | undefined;
}

export interface InfluxSettings {
  readonly url: string;
  readonly database: string;
  readonly username: string | undefined;
  readonly password: string | undefined;
}

/** A setting that cannot be used. The message is one line: name, what was given, what is right. */
export class SettingsError extends Error {
  override readonly name = 'SettingsError';
}

const loopbackHosts = ['127.0.0.1', 'localhost', '::1'];
const logLevels = ['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent'] as const;

const urlWith = (schemes: readonly string[], example: string) =>
  z
    .string()
    .refine(
      (text) =>
        URL.canParse(text) &&
        schemes.includes(new URL(text).protocol) &&
        new URL(text).username === '' &&
        new URL(text).password === '',
      `an address like ${example}, without user name and password in it`,
    );

const environment = z.object({
  HTTP_HOST: z
    .string()
    .refine(
      (host) => loopbackHosts.includes(host),
      `a loopback address (${loopbackHosts.join(', ')}): there is no sign-in, so nobody else is let in`,
    )
    .default('127.0.0.1'),
  HTTP_PORT: z
    .string()
    .regex(/^\d{1,5}$/, 'a port number from 0 to 65535 (0: any free one)')
    .transform(Number)
    .refine((port) => port <= 65535, 'a port number from 0 to 65535 (0: any free one)')
    .default(8080),
  DATA_DIR: z.string().min(1, 'the path of a folder that can be written').optional(),
  PLANT_FILE: z.string().min(1, 'the path of a plant file (YAML)').optional(),
  MQTT_URL: urlWith(['mqtt:', 'mqtts:'], 'mqtt://broker:1883 or mqtts://broker:8883').optional(),
  MQTT_USERNAME: z.string().min(1, 'a user name').optional(),
  MQTT_PASSWORD_FILE: z.string().min(1, 'the path of a file that holds the password').optional(),
  INFLUX_URL: urlWith(['http:', 'https:'], 'http://influxdb:8086').optional(),
  INFLUX_DATABASE: z
    .string()
    .regex(/^[A-Za-z0-9_-]{1,64}$/, 'a database name of 1 to 64 letters, digits, _ and -')
    .default('edge_margin'),
  INFLUX_USERNAME: z.string().min(1, 'a user name').optional(),
  INFLUX_PASSWORD_FILE: z.string().min(1, 'the path of a file that holds the password').optional(),
  LOG_LEVEL: z.enum(logLevels, `one of ${logLevels.join(', ')}`).default('info'),
});

const known = Object.keys(environment.shape);
const ours = /^(MQTT|INFLUX|PLANT|HTTP|DATA|LOG)_/;
/** Names that begin like ours but belong to others. */
const foreign = /^(HTTP_PROXY|LOG_NAME)$/;

function refuseUnknownNames(env: Readonly<Record<string, string | undefined>>): void {
  for (const [name, value] of Object.entries(env)) {
    if (value === undefined || known.includes(name) || foreign.test(name) || !ours.test(name)) continue;
    const shown = /PASSWORD|SECRET|TOKEN/.test(name) ? '(not shown)' : `"${value}"`;
    throw new SettingsError(
      `${name}: ${shown} was given, but there is no such setting; the settings are ${known.join(', ')}`,
    );
  }
}

function passwordFrom(
  name: string,
  path: string | undefined,
  readFile: (path: string) => string,
): string | undefined {
  if (path === undefined) return undefined;
  try {
    return readFile(path).replace(/\r?\n$/, '');
  } catch (error) {
    throw new SettingsError(
      `${name}: "${path}" was given, but it cannot be read (${(error as Error).message}); a readable file that holds the password is needed`,
    );
  }
}

/**
 * Reads the settings.
 * @throws SettingsError naming the setting, what was given and what is right.
 */
export function readSettings(
  env: Readonly<Record<string, string | undefined>>,
  readFile: (path: string) => string = (path) => readFileSync(path, 'utf8'),
): Settings {
  refuseUnknownNames(env);
  const parsed = environment.safeParse(env);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    const name = String(issue?.path[0]);
    throw new SettingsError(
      `${name}: "${env[name] ?? ''}" was given; what is right: ${issue?.message ?? 'see the README'}`,
    );
  }
  const e = parsed.data;
  if ((e.PLANT_FILE === undefined) !== (e.MQTT_URL === undefined)) {
    const [given, missing] =
      e.PLANT_FILE === undefined ? ['MQTT_URL', 'PLANT_FILE'] : ['PLANT_FILE', 'MQTT_URL'];
    throw new SettingsError(
      `${missing}: nothing was given, but ${given} was; a real plant needs both, the demonstration needs neither`,
    );
  }
  if (e.MQTT_URL === undefined && (e.MQTT_USERNAME ?? e.MQTT_PASSWORD_FILE) !== undefined) {
    throw new SettingsError(
      'MQTT_URL: nothing was given, but a user name or password file was; name the broker too',
    );
  }
  if (
    e.INFLUX_URL === undefined &&
    (e.INFLUX_USERNAME ?? e.INFLUX_PASSWORD_FILE ?? env['INFLUX_DATABASE']) !== undefined
  ) {
    throw new SettingsError(
      'INFLUX_URL: nothing was given, but another INFLUX setting was; name the server too',
    );
  }
  return {
    http: { host: e.HTTP_HOST, port: e.HTTP_PORT },
    dataDirectory: e.DATA_DIR ?? (e.PLANT_FILE === undefined ? 'data/demo' : 'data/plant'),
    plant:
      e.PLANT_FILE === undefined || e.MQTT_URL === undefined
        ? undefined
        : {
            file: e.PLANT_FILE,
            broker: {
              url: e.MQTT_URL,
              username: e.MQTT_USERNAME,
              password: passwordFrom('MQTT_PASSWORD_FILE', e.MQTT_PASSWORD_FILE, readFile),
            },
          },
    influx:
      e.INFLUX_URL === undefined
        ? undefined
        : {
            url: e.INFLUX_URL,
            database: e.INFLUX_DATABASE,
            username: e.INFLUX_USERNAME,
            password: passwordFrom('INFLUX_PASSWORD_FILE', e.INFLUX_PASSWORD_FILE, readFile),
          },
    logLevel: e.LOG_LEVEL,
  };
}
