import { isIP } from 'node:net';
import { z } from 'zod';
import { type HostName, isLoopbackHost } from '../http/host-names.js';
import { type ReadFile } from './setting-files.js';
import { pathOf } from './setting-kinds.js';
import { SettingsError } from './settings-error.js';
import { readTlsFiles, type TlsFiles } from './tls-files.js';

export interface HttpSettings {
  readonly host: string;
  readonly port: number;
  readonly tls: TlsFiles | undefined;
  /** One proxy in front speaks for the browser: its word on address and protocol is taken. */
  readonly behindProxy: boolean;
  /** Names, besides those of loopback, under which the service may be reached. */
  readonly allowedHosts: readonly HostName[];
  /** Whether anybody may look without a sign-in. */
  readonly openViewing: boolean;
}

const yesOrNo = z
  .enum(['yes', 'no'], 'yes or no')
  .transform((word) => word === 'yes')
  .optional();
const hostName = /^(?=.{1,253}$)[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?(\.[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?)*$/;

export const httpVariables = z.object({
  HTTP_HOST: z
    .string()
    .refine(
      (host) => host === 'localhost' || isIP(host) !== 0,
      'an address of this machine, such as 127.0.0.1 or 0.0.0.0 (all)',
    )
    .default('127.0.0.1'),
  HTTP_PORT: z
    .string()
    .regex(/^\d{1,5}$/, 'a port number from 0 to 65535 (0: any free one)')
    .transform(Number)
    .refine((port) => port <= 65535, 'a port number from 0 to 65535 (0: any free one)')
    .default(8080),
  HTTP_TLS_CERT_FILE: pathOf('the certificate with its chain (PEM)').optional(),
  HTTP_TLS_KEY_FILE: pathOf('the private key of the certificate (PEM)').optional(),
  HTTP_BEHIND_PROXY: yesOrNo,
  HTTP_ALLOWED_HOSTS: z
    .string()
    .transform((list) => list.split(',').map((name) => name.trim().toLowerCase()))
    .refine(
      (names) => names.every((name) => hostName.test(name) || isIP(name) !== 0),
      'names or addresses without port, with commas between them, such as winders.mill.example,10.1.2.3',
    )
    .optional(),
  HTTP_OPEN_VIEWING: yesOrNo,
});

type Variables = z.output<typeof httpVariables>;

/**
 * @param isDemonstration Its people's passwords are public, so it stays on loopback.
 * @throws SettingsError
 */
export function httpSettings(
  e: Variables,
  isDemonstration: boolean,
  readFile: ReadFile,
  nowMs: number,
): HttpSettings {
  const behindProxy = e.HTTP_BEHIND_PROXY ?? false;
  const allowedHosts = e.HTTP_ALLOWED_HOSTS ?? [];
  const tls = tlsFiles(e);
  refuseOpenDoors(e, isDemonstration);
  if (tls !== undefined) readTlsFiles(tls, { readFile, nowMs, allowedHosts });
  return {
    host: e.HTTP_HOST,
    port: e.HTTP_PORT,
    tls,
    behindProxy,
    allowedHosts: isAnyAddress(e.HTTP_HOST) ? allowedHosts : [...allowedHosts, e.HTTP_HOST],
    openViewing: e.HTTP_OPEN_VIEWING ?? isDemonstration,
  };
}

function tlsFiles(e: Variables): TlsFiles | undefined {
  const { HTTP_TLS_CERT_FILE: certFile, HTTP_TLS_KEY_FILE: keyFile } = e;
  if (certFile === undefined && keyFile === undefined) return undefined;
  if (certFile !== undefined && keyFile !== undefined) return { certFile, keyFile };
  const [given, missing] =
    keyFile === undefined
      ? ['HTTP_TLS_CERT_FILE', 'HTTP_TLS_KEY_FILE']
      : ['HTTP_TLS_KEY_FILE', 'HTTP_TLS_CERT_FILE'];
  throw new SettingsError(`${missing}: nothing was given, but ${given} was; TLS needs both`);
}

/** Passwords never cross a network in clear, and public ones never leave the machine. */
function refuseOpenDoors(e: Variables, isDemonstration: boolean): void {
  if (isDemonstration && e.HTTP_BEHIND_PROXY === true)
    throw new SettingsError(
      `HTTP_BEHIND_PROXY: "yes" was given, but the demonstration's passwords are public and stay on this machine; what is right: no, or a plant of your own (PLANT_FILE, MQTT_URL)`,
    );
  if (isLoopbackHost(e.HTTP_HOST)) return;
  const given = `HTTP_HOST: "${e.HTTP_HOST}" was given`;
  if (isDemonstration)
    throw new SettingsError(
      `${given}, but the demonstration's passwords are public; what is right: a loopback address (127.0.0.1, localhost, ::1), or a plant of your own (PLANT_FILE, MQTT_URL)`,
    );
  const isEncrypted = e.HTTP_TLS_CERT_FILE !== undefined || e.HTTP_BEHIND_PROXY === true;
  if (!isEncrypted)
    throw new SettingsError(
      `${given}, but passwords would cross the network in clear; what is right: TLS (HTTP_TLS_CERT_FILE, HTTP_TLS_KEY_FILE), a proxy that speaks it (HTTP_BEHIND_PROXY=yes), or a loopback address`,
    );
  if (isAnyAddress(e.HTTP_HOST) && e.HTTP_ALLOWED_HOSTS === undefined)
    throw new SettingsError(
      `HTTP_ALLOWED_HOSTS: nothing was given, but HTTP_HOST is "${e.HTTP_HOST}"; what is right: the names under which browsers reach the service, such as winders.mill.example`,
    );
}

function isAnyAddress(host: string): boolean {
  return host === '0.0.0.0' || /^[0:]+$/.test(host);
}
