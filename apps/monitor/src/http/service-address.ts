import type { HttpSettings } from '../settings/http-settings.js';
import { isLoopbackHost } from './host-names.js';

/** The address to open in a browser. Behind a proxy the port is the proxy's, so that only the name is known. */
export function serviceAddress(settings: HttpSettings, port: number): string {
  const { behindProxy, host, tls } = settings;
  const outside = settings.allowedHosts.find((name) => !isLoopbackHost(name));
  const name = outside === undefined || (isLoopbackHost(host) && !behindProxy) ? 'localhost' : outside;
  const authority = name.includes(':') ? `[${name}]` : name;
  if (behindProxy && name !== 'localhost') return `https://${authority}`;
  return `${tls === undefined ? 'http' : 'https'}://${authority}:${port}`;
}
