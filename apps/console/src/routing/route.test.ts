import { describe, expect, it } from 'vitest';
import { routeOf } from './route.js';

describe('the address of a page', () => {
  it.each([
    ['/', { page: 'all-winders' }],
    ['/winders', { page: 'all-winders' }],
    ['/winders/w5', { page: 'winder', winderId: 'w5', stationId: null }],
    ['/winders/w5/a', { page: 'winder', winderId: 'w5', stationId: 'a' }],
    ['/winders/w5/a/', { page: 'winder', winderId: 'w5', stationId: 'a' }],
    ['/winders/%3Cb%3E/a', { page: 'winder', winderId: '<b>', stationId: 'a' }],
    ['/alarms', { page: 'alarms' }],
    ['/people', { page: 'people' }],
    ['/first-administrator', { page: 'first-administrator' }],
    ['/people/1', { page: 'unknown', path: '/people/1' }],
    ['/winders/w5/a/b', { page: 'unknown', path: '/winders/w5/a/b' }],
    ['/%', { page: 'unknown', path: '/%' }],
    ['/settings', { page: 'unknown', path: '/settings' }],
  ])('%s', (path, route) => {
    expect(routeOf(path)).toEqual(route);
  });
});
