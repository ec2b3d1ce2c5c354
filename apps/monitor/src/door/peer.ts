import type { IncomingMessage } from 'node:http';
import { isIP } from 'node:net';
import type { TLSSocket } from 'node:tls';
import { hostNameOf, isLoopbackHost } from '../http/host-names.js';

/** The other end of a request. */
export interface Peer {
  readonly address: string;
  /** Whether what the browser sends and gets is encrypted on its way. */
  readonly isEncrypted: boolean;
  /** Whether it is asked for under a name of this machine only, so that nothing crosses a network. */
  readonly isOnThisMachine: boolean;
}

/**
 * Behind a proxy, its word counts: exactly one hop, so the last element of X-Forwarded-For, which the proxy itself added, and of
 * X-Forwarded-Proto. What stands before them came from the browser and can be anything.
 */
export function peerOf(request: IncomingMessage, behindProxy: boolean): Peer {
  const socketAddress = plainAddress(request.socket.remoteAddress ?? '');
  const isOnThisMachine = isLoopbackHost(hostNameOf(request.headers.host ?? '') ?? '');
  if (!behindProxy) {
    const isEncrypted = (request.socket as Partial<TLSSocket>).encrypted === true;
    return { address: socketAddress, isEncrypted, isOnThisMachine };
  }
  const forwarded = plainAddress(lastOf(request.headers['x-forwarded-for']));
  return {
    address: isIP(forwarded) === 0 ? socketAddress : forwarded,
    isEncrypted: lastOf(request.headers['x-forwarded-proto']).toLowerCase() === 'https',
    isOnThisMachine,
  };
}

function lastOf(header: string | string[] | undefined): string {
  const text = Array.isArray(header) ? header.join(',') : (header ?? '');
  return text.split(',').at(-1)?.trim() ?? '';
}

/** An IPv4 address that came in over IPv6 is that IPv4 address. */
function plainAddress(address: string): string {
  return address.replace(/^::ffff:(?=\d+\.\d+\.\d+\.\d+$)/i, '');
}
