import { InfluxDB } from 'influx';

/** Where the database is and how to get in. */
export interface InfluxServer {
  /** `http://host:8086` or `https://...`, a path in front of the API included; no user name in it. */
  readonly url: string;
  /** Letters, digits, `_`, `.` and `-`. */
  readonly database: string;
  readonly username?: string;
  readonly password?: string;
  /** A token of InfluxDB 2.x instead of user name and password; databases and retention policies are mapped there, never made by us. */
  readonly token?: string;
  /** Left out: the database's own default policy. */
  readonly retentionPolicy?: string;
  /** No answer within this time counts as unreachable, ms; 20 000 where left out. */
  readonly timeoutMs?: number;
}

const defaultTimeoutMs = 20_000;

/** The time limit of one request, ms. */
export function timeoutOf(server: InfluxServer): number {
  return server.timeoutMs ?? defaultTimeoutMs;
}

/**
 * The address of a resource of the server.
 * @throws RangeError for an address or a database name that cannot be one.
 */
export function addressOf(server: InfluxServer, resource: string): URL {
  if (!URL.canParse(server.url)) throw new RangeError(`url: an address is needed, got ${server.url}`);
  const base = new URL(server.url);
  if (!/^https?:$/.test(base.protocol))
    throw new RangeError(`url: http or https is needed, got ${base.protocol}`);
  if (base.username !== '' || base.password !== '') {
    throw new RangeError('url: user name and password are given apart, not in the address');
  }
  if (!/^[\w.-]+$/.test(server.database)) {
    throw new RangeError(`database: letters, digits, "_", "." and "-" are possible, got ${server.database}`);
  }
  base.pathname = `${base.pathname.replace(/\/+$/, '')}/${resource}`;
  base.search = '';
  base.hash = '';
  return base;
}

/** The `Authorization` header; undefined where nobody is named. */
export function authorizationOf(server: InfluxServer): string | undefined {
  if (server.token !== undefined) return `Token ${server.token}`;
  if (server.username === undefined) return undefined;
  return `Basic ${Buffer.from(`${server.username}:${server.password ?? ''}`).toString('base64')}`;
}

/**
 * The client for queries and administration. A failed request must not lock the only host out for the next ones: the pause after a failure
 * is zero, and there is no silent second attempt. Who we are goes in as a header: the client knows no tokens, and would send root:root where
 * no user name is given; with `null` for the name it sends nothing of its own.
 */
export function clientOf(server: InfluxServer): InfluxDB {
  const address = addressOf(server, '');
  const noPause = { getDelay: () => 0, next: () => noPause, reset: () => noPause };
  const authorization = authorizationOf(server);
  const protocol = address.protocol === 'https:' ? 'https' : 'http';
  return new InfluxDB({
    host: address.hostname,
    port: Number(address.port === '' ? { http: 80, https: 443 }[protocol] : address.port),
    path: address.pathname.replace(/\/$/, ''),
    protocol,
    database: server.database,
    username: null as unknown as string,
    ...(authorization === undefined ? {} : { options: { headers: { authorization } } }),
    pool: { backoff: noPause, maxRetries: 0, requestTimeout: timeoutOf(server) },
  });
}
