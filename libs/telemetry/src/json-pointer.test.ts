import { describe, expect, it } from 'vitest';
import { parsePointer, valueAt } from './json-pointer.js';

// The document and its pointers are those of RFC 6901, section 5.
const document = JSON.parse(
  '{"foo":["bar","baz"],"":0,"a/b":1,"c%d":2,"e^f":3,"g|h":4,"i\\\\j":5,"k\\"l":6," ":7,"m~n":8}',
) as unknown;

describe('a JSON pointer', () => {
  it.each([
    ['', document],
    ['/foo', ['bar', 'baz']],
    ['/foo/0', 'bar'],
    ['/', 0],
    ['/a~1b', 1],
    ['/c%d', 2],
    ['/e^f', 3],
    ['/g|h', 4],
    ['/i\\j', 5],
    ['/k"l', 6],
    ['/ ', 7],
    ['/m~0n', 8],
  ])('%s leads to its value', (text, value) => {
    expect(valueAt(document, parsePointer(text))).toEqual(value);
  });

  it.each([
    '/nothing',
    '/foo/2',
    '/foo/00',
    '/foo/-',
    '/foo/length',
    '/foo/0/0',
    '/constructor',
    '/__proto__',
    '/toString/name',
  ])('%s leads nowhere', (text) => {
    expect(valueAt(document, parsePointer(text))).toBeUndefined();
  });

  it.each(['foo', '/a~2b', '/a~'])('%s is none, and a broken contract', (text) => {
    expect(() => parsePointer(text)).toThrow(RangeError);
  });
});
