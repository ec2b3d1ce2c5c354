import { readFileSync } from 'node:fs';
import { z } from 'zod';
import { type BrokerSettings, brokerSettings, brokerVariables } from './broker-settings.js';
import { type DoorSettings, doorSettings, doorVariables } from './door-settings.js';
import { type HttpSettings, httpSettings, httpVariables } from './http-settings.js';
import { type InfluxSettings, influxSettings, influxVariables } from './influx-settings.js';
import { type KeepingSettings, keepingSettings, keepingVariables } from './keeping-settings.js';
import { pathOf } from './setting-kinds.js';
import type { ReadFile } from './setting-files.js';
import { SettingsError } from './settings-error.js';

/** The service's settings, read from the environment once at the start. Nothing else reads `process.env`. */
export interface Settings {
  readonly http: HttpSettings;
  readonly door: DoorSettings;
  readonly keeping: KeepingSettings;
  readonly dataDirectory: string;
  /** Undefined: the built-in demonstration (simulated winders, a broker of its own). */
  readonly plant: { readonly file: string; readonly broker: BrokerSettings } | undefined;
  readonly influx: InfluxSettings | undefined;
  readonly logLevel: string;
}

const logLevels = ['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent'] as const;

/** Every setting, by the group that reads it: a new one is a line in its group's file. */
const environment = z.object({
  ...httpVariables.shape,
  ...doorVariables.shape,
  ...keepingVariables.shape,
  ...brokerVariables.shape,
  ...influxVariables.shape,
  DATA_DIR: pathOf('a folder that can be written').optional(),
  PLANT_FILE: pathOf('a plant file (YAML)').optional(),
  LOG_LEVEL: z.enum(logLevels, `one of ${logLevels.join(', ')}`).default('info'),
});

const known = Object.keys(environment.shape);
const ours = new RegExp(`^(${[...new Set(known.map((name) => name.split('_')[0]))].join('|')})_`);
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

function variablesOf(env: Readonly<Record<string, string | undefined>>): z.output<typeof environment> {
  const parsed = environment.safeParse(env);
  if (parsed.success) return parsed.data;
  const issue = parsed.error.issues[0];
  const name = String(issue?.path[0]);
  throw new SettingsError(
    `${name}: "${env[name] ?? ''}" was given; what is right: ${issue?.message ?? 'see the README'}`,
  );
}

/**
 * Reads the settings.
 * @throws SettingsError naming the setting, what was given and what is right.
 */
export function readSettings(
  env: Readonly<Record<string, string | undefined>>,
  readFile: ReadFile = (path) => readFileSync(path, 'utf8'),
  nowMs: number = Date.now(),
): Settings {
  refuseUnknownNames(env);
  const e = variablesOf(env);
  if ((e.PLANT_FILE === undefined) !== (e.MQTT_URL === undefined)) {
    const [given, missing] =
      e.PLANT_FILE === undefined ? ['MQTT_URL', 'PLANT_FILE'] : ['PLANT_FILE', 'MQTT_URL'];
    throw new SettingsError(
      `${missing}: nothing was given, but ${given} was; a real plant needs both, the demonstration needs neither`,
    );
  }
  const broker = brokerSettings(e, readFile);
  return {
    http: httpSettings(e, e.PLANT_FILE === undefined, readFile, nowMs),
    door: doorSettings(e),
    keeping: keepingSettings(e),
    dataDirectory: e.DATA_DIR ?? (e.PLANT_FILE === undefined ? 'data/demo' : 'data/plant'),
    plant: e.PLANT_FILE === undefined || broker === undefined ? undefined : { file: e.PLANT_FILE, broker },
    influx: influxSettings(e, readFile),
    logLevel: e.LOG_LEVEL,
  };
}
