import type { IncomingMessage } from 'node:http';
import { describe, expect, it } from 'vitest';
import { peerOf } from './peer.js';

const request = (headers: Record<string, string>, remoteAddress = '10.0.0.9', encrypted = false) =>
  ({
    headers: { host: 'winders.example', ...headers },
    socket: { remoteAddress, encrypted },
  }) as unknown as IncomingMessage;

describe('the other end of a request', () => {
  it('is the other end of the socket, whatever headers say, where no proxy is', () => {
    const forged = request({ 'x-forwarded-for': '1.2.3.4', 'x-forwarded-proto': 'https' });
    expect(peerOf(forged, false)).toEqual({
      address: '10.0.0.9',
      isEncrypted: false,
      isOnThisMachine: false,
    });
    expect(peerOf(request({}, '10.0.0.9', true), false).isEncrypted).toBe(true);
  });

  it('is what one proxy said last: what the browser wrote before that counts nothing', () => {
    const through = request({ 'x-forwarded-for': '1.2.3.4, 192.168.7.7', 'x-forwarded-proto': 'https' });
    expect(peerOf(through, true)).toMatchObject({ address: '192.168.7.7', isEncrypted: true });
    expect(peerOf(request({ 'x-forwarded-proto': 'https, http' }), true).isEncrypted).toBe(false);
  });

  it.each(['', 'unknown', '<script>', '1.2.3.4, '])(
    'stays the proxy itself for X-Forwarded-For: %j',
    (header) => expect(peerOf(request({ 'x-forwarded-for': header }), true).address).toBe('10.0.0.9'),
  );

  it('has one form of an IPv4 address', () => {
    expect(peerOf(request({}, '::ffff:10.0.0.9'), false).address).toBe('10.0.0.9');
  });

  it('is on this machine where it is asked for as such', () => {
    expect(peerOf(request({ host: 'localhost:8080' }), true).isOnThisMachine).toBe(true);
    expect(peerOf(request({ host: '[::1]:8080' }), true).isOnThisMachine).toBe(true);
    expect(peerOf(request({ host: 'localhost.evil.example' }), true).isOnThisMachine).toBe(false);
  });
});
