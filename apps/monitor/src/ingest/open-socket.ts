import { connect as connectTcp, isIP, type Socket } from 'node:net';
import { connect as connectTls } from 'node:tls';

/** How the broker proves itself, and we to it, over `mqtts:`; PEM texts. */
export interface TlsSettings {
  /** Authorities to trust instead of the system's. */
  readonly ca?: string;
  readonly cert?: string;
  readonly key?: string;
}

/** Where a broker is. */
export interface BrokerAddress {
  readonly host: string;
  readonly port: number;
  readonly isTls: boolean;
}

/**
 * Reads `mqtt://host[:1883]` (TCP) or `mqtts://host[:8883]` (TLS).
 * @throws RangeError for any other scheme.
 */
export function brokerAddress(url: string): BrokerAddress {
  const { protocol, hostname, port } = new URL(url);
  const host = hostname.replace(/^\[(.*)\]$/, '$1');
  if (protocol === 'mqtt:') return { host, port: Number(port || 1883), isTls: false };
  if (protocol === 'mqtts:') return { host, port: Number(port || 8883), isTls: true };
  throw new RangeError(`url: ${protocol}, expected mqtt: or mqtts:`);
}

/** Begins to connect. Over TLS the broker's certificate must be valid for the host. */
export function openSocket({ host, port, isTls }: BrokerAddress, tls: TlsSettings = {}): Socket {
  // Acknowledgements are small and must not wait for one another.
  if (!isTls) return connectTcp({ host, port, noDelay: true });
  const servername = isIP(host) === 0 ? { servername: host } : {};
  return connectTls({ host, port, ...servername, ...tls }).setNoDelay(true);
}
