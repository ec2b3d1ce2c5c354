import { connect as connectTcp, isIP, type Socket } from 'node:net';
import { connect as connectTls, type TLSSocket } from 'node:tls';

/** How the broker proves itself, and we to it, over `mqtts:`; PEM texts. */
export interface TlsSettings {
  /** Authorities to trust instead of the system's. */
  readonly ca?: string;
  readonly cert?: string;
  readonly key?: string;
  /** When our own certificate ends, epoch ms. */
  readonly certEndsAtMs?: number;
}

/** Where a broker is. */
export interface BrokerAddress {
  readonly host: string;
  readonly port: number;
  readonly isTls: boolean;
}

/** A connection that begins, and what is to be told of it. */
export interface SocketNews {
  /** TCP stands; the TLS handshake begins where there is one. */
  readonly onConnected: () => void;
  /** The broker has proven itself; the instant at which its certificate ends, epoch ms. */
  readonly onSecured: (certificateEndsAtMs: number) => void;
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

/** Begins to connect. Over TLS (1.2 or newer) the broker's certificate must be valid for the host. */
export function openSocket(address: BrokerAddress, tls: TlsSettings, news: SocketNews): Socket {
  const socket = address.isTls ? tlsSocket(address, tls, news) : connectTcp(address);
  // Acknowledgements are small and must not wait for one another.
  return socket.setNoDelay(true).once('connect', news.onConnected);
}

function tlsSocket({ host, port }: BrokerAddress, tls: TlsSettings, news: SocketNews): TLSSocket {
  const { ca, cert, key } = tls;
  // A name is sent along, an address may not be (RFC 6066, section 3).
  const servername = isIP(host) === 0 ? { servername: host } : {};
  const socket = connectTls({ host, port, minVersion: 'TLSv1.2', ...servername, ca, cert, key });
  return socket.once('secureConnect', () => {
    news.onSecured(Date.parse(socket.getPeerCertificate().valid_to));
  });
}
