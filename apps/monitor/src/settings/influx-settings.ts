import { z } from 'zod';
import { pathOf, urlWith } from './setting-kinds.js';
import { type ReadFile, secretFrom } from './setting-files.js';
import { SettingsError } from './settings-error.js';

export interface InfluxSettings {
  readonly url: string;
  readonly database: string;
  readonly username: string | undefined;
  readonly password: string | undefined;
}

export const influxVariables = z.object({
  INFLUX_URL: urlWith(['http:', 'https:'], 'http://influxdb:8086').optional(),
  INFLUX_DATABASE: z
    .string()
    .regex(/^[A-Za-z0-9_-]{1,64}$/, 'a database name of 1 to 64 letters, digits, _ and -')
    .optional(),
  INFLUX_USERNAME: z.string().min(1, 'a user name').optional(),
  INFLUX_PASSWORD_FILE: pathOf('a file that holds the password').optional(),
});

/** @throws SettingsError */
export function influxSettings(
  e: z.output<typeof influxVariables>,
  readFile: ReadFile,
): InfluxSettings | undefined {
  if (e.INFLUX_URL === undefined) {
    if ((e.INFLUX_DATABASE ?? e.INFLUX_USERNAME ?? e.INFLUX_PASSWORD_FILE) === undefined) return undefined;
    throw new SettingsError(
      'INFLUX_URL: nothing was given, but another INFLUX setting was; name the server too',
    );
  }
  return {
    url: e.INFLUX_URL,
    database: e.INFLUX_DATABASE ?? 'edge_margin',
    username: e.INFLUX_USERNAME,
    password: secretFrom('INFLUX_PASSWORD_FILE', e.INFLUX_PASSWORD_FILE, 'the password', readFile),
  };
}
