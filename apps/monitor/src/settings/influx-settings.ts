import type { RolledResolution } from '@edge-margin/series';
import { z } from 'zod';
import { pathOf, urlWith } from './setting-kinds.js';
import { type ReadFile, secretFrom } from './setting-files.js';
import { SettingsError } from './settings-error.js';

/** Who asks: a user name with its password, a token of InfluxDB 2.x, or nobody. */
export interface InfluxAccount {
  readonly username?: string;
  readonly password?: string;
  readonly token?: string;
}

export interface InfluxSettings {
  readonly url: string;
  readonly database: string;
  /** Where raw rows go; the database's default policy where left out. */
  readonly retentionPolicy: string | undefined;
  /** Writes; needs no other right. */
  readonly writer: InfluxAccount;
  /** Reads trends that lie before what is kept here. */
  readonly reader: InfluxAccount;
  readonly catchUpRowsPerS: number;
  /** What the retention policies of the roll-ups are made with; null: without end. A policy that is there already stays as it is. */
  readonly rollUpsMs: Readonly<Record<RolledResolution, number | null>>;
}

const identifier = (what: string) =>
  z.string().regex(/^[A-Za-z0-9_-]{1,64}$/, `${what} of 1 to 64 letters, digits, _ and -`);

const dayMs = 86_400_000;
/** A retention policy of InfluxDB 1.x lasts an hour or longer, or has no end (InfluxQL, "CREATE RETENTION POLICY"). */
const daysOrUnlimited = z
  .string()
  .refine(
    (text) => text === 'unlimited' || (/^[1-9]\d{0,4}$/.test(text) && Number(text) <= 36_600),
    'a whole number of days from 1 to 36600, or unlimited',
  )
  .transform((text) => (text === 'unlimited' ? null : Number(text)));

export const influxVariables = z.object({
  INFLUX_URL: urlWith(['http:', 'https:'], 'http://influxdb:8086').optional(),
  INFLUX_DATABASE: identifier('a database name').optional(),
  INFLUX_RETENTION_POLICY: identifier('a retention policy').optional(),
  INFLUX_USERNAME: z.string().min(1, 'a user name').optional(),
  INFLUX_PASSWORD_FILE: pathOf('a file that holds the password').optional(),
  INFLUX_READ_USERNAME: z.string().min(1, 'a user name').optional(),
  INFLUX_READ_PASSWORD_FILE: pathOf('a file that holds the password').optional(),
  INFLUX_TOKEN_FILE: pathOf('a file that holds the token').optional(),
  INFLUX_READ_TOKEN_FILE: pathOf('a file that holds the token').optional(),
  INFLUX_CATCH_UP_ROWS_PER_S: z
    .string()
    .regex(/^[1-9]\d{2,5}$/, 'a whole number of rows a second from 100 to 999999')
    .transform(Number)
    .optional(),
  INFLUX_ROLL_UPS_10S_DAYS: daysOrUnlimited.optional(),
  INFLUX_ROLL_UPS_1MIN_DAYS: daysOrUnlimited.optional(),
  INFLUX_ROLL_UPS_1H_DAYS: daysOrUnlimited.optional(),
});

type Given = z.output<typeof influxVariables>;

/** @throws SettingsError */
export function influxSettings(e: Given, readFile: ReadFile): InfluxSettings | undefined {
  const { INFLUX_URL: url, ...others } = e;
  if (url === undefined) {
    const name = Object.entries(others).find(
      ([key, value]) => key.startsWith('INFLUX_') && value !== undefined,
    )?.[0];
    if (name === undefined) return undefined;
    throw new SettingsError(
      `INFLUX_URL: nothing was given, but another INFLUX setting (${name}) was; name the server too`,
    );
  }
  const writer = accountOf(e, '', readFile);
  const reader = accountOf(e, 'READ_', readFile);
  return {
    url,
    database: e.INFLUX_DATABASE ?? 'edge_margin',
    retentionPolicy: e.INFLUX_RETENTION_POLICY,
    writer,
    reader: Object.keys(reader).length === 0 ? writer : reader,
    catchUpRowsPerS: e.INFLUX_CATCH_UP_ROWS_PER_S ?? 10_000,
    rollUpsMs: {
      '10s': daysInMs(e.INFLUX_ROLL_UPS_10S_DAYS, 90),
      '1min': daysInMs(e.INFLUX_ROLL_UPS_1MIN_DAYS, 730),
      '1h': daysInMs(e.INFLUX_ROLL_UPS_1H_DAYS, null),
    },
  };
}

function daysInMs(given: number | null | undefined, otherwise: number | null): number | null {
  const days = given === undefined ? otherwise : given;
  return days === null ? null : days * dayMs;
}

function accountOf(e: Given, part: '' | 'READ_', readFile: ReadFile): InfluxAccount {
  const names = {
    user: `INFLUX_${part}USERNAME`,
    password: `INFLUX_${part}PASSWORD_FILE`,
    token: `INFLUX_${part}TOKEN_FILE`,
  } as const;
  const username = e[names.user];
  const password = secretFrom(names.password, e[names.password], 'the password', readFile);
  const token = secretFrom(names.token, e[names.token], 'the token', readFile)?.trim();
  if (token !== undefined && (username ?? password) !== undefined) {
    throw new SettingsError(
      `${names.token}: a file was given, and a user name or password too; a token is for InfluxDB 2.x, user name and password for 1.x: give one of them`,
    );
  }
  if (password !== undefined && username === undefined) {
    throw new SettingsError(`${names.user}: nothing was given, but ${names.password} was; name the user too`);
  }
  return {
    ...(username === undefined ? {} : { username }),
    ...(password === undefined ? {} : { password }),
    ...(token === undefined ? {} : { token }),
  };
}
