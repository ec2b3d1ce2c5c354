import { describe, expect, it } from 'vitest';
import { withoutPlaces } from './without-places.js';

describe('a sentence for strangers', () => {
  it.each([
    ['connect ECONNREFUSED 10.1.2.3:1883', 'connect ECONNREFUSED (address)'],
    ['connect ECONNREFUSED ::1:1883', 'connect ECONNREFUSED (address)'],
    ['connect EHOSTUNREACH fe80::1ff:fe23:4567:890a', 'connect EHOSTUNREACH (address)'],
    ['no answer from broker.plant.example:8883 within 30 s', 'no answer from (address) within 30 s'],
    ['http://influx:8086/write answered 401', '(address) answered 401'],
    ['/var/lib/edge-margin/store.sqlite: no space is left', '(path): no space is left'],
  ])('names no place: %s', (text, shown) => {
    expect(withoutPlaces(text)).toBe(shown);
  });

  it.each([
    'Connection refused: Not authorized (0x87)',
    'the broker refused film/+/speed and #',
    '4096 kB wait for the disk',
    'it lasts since 12:30:05',
  ])('stays as it is where it names none: %s', (text) => {
    expect(withoutPlaces(text)).toBe(text);
  });
});
