import { isIP } from 'node:net';

/** A host name in lower case without a final dot, or an address without brackets. */
export type HostName = string;

const loopback: readonly HostName[] = ['localhost', '127.0.0.1', '::1'];

/** Whether the name always leads to this machine. */
export function isLoopbackHost(name: HostName): boolean {
  return loopback.includes(name);
}

/** The name in a `Host` header or in an origin, without port; undefined where it is none. */
export function hostNameOf(hostAndPort: string): HostName | undefined {
  if (!/^[a-z0-9.:[\]-]{1,300}$/i.test(hostAndPort) || !URL.canParse(`http://${hostAndPort}`))
    return undefined;
  const name = new URL(`http://${hostAndPort}`).hostname.replace(/\.$/, '');
  const inBrackets = /^\[(.*)\]$/.exec(name)?.[1];
  return inBrackets !== undefined && isIP(inBrackets) === 6 ? inBrackets : name;
}

/** Whether the service may be reached under the name. */
export function isAllowedHost(name: HostName | undefined, allowed: readonly HostName[]): boolean {
  return name !== undefined && (isLoopbackHost(name) || allowed.includes(name));
}
