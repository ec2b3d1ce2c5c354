import { describe, expect, it } from 'vitest';
import { brokerAddress } from './open-socket.js';

describe('the address of a broker', () => {
  it.each([
    ['mqtt://broker', { host: 'broker', port: 1883, isTls: false }],
    ['mqtts://broker.example', { host: 'broker.example', port: 8883, isTls: true }],
    ['mqtt://127.0.0.1:1999', { host: '127.0.0.1', port: 1999, isTls: false }],
    ['mqtts://[::1]:1', { host: '::1', port: 1, isTls: true }],
  ])('%s', (url, address) => {
    expect(brokerAddress(url)).toEqual(address);
  });

  it('has one of the two schemes', () => {
    expect(() => brokerAddress('ws://broker')).toThrow('url: ws:, expected mqtt: or mqtts:');
  });
});
