import { describe, expect, it } from 'vitest';
import type { Message } from '../instruments/message.js';
import { closingLines, enter, type OpenRows } from './station-table.js';

const columns = [
  { topic: 'd', field: 'speed', heading: 'speed (m/min)' },
  { topic: 'n', field: 'load', heading: 'load' },
];
const message = (topic: string, payload: object): Message => ({
  atMs: 0,
  topic,
  payload: JSON.stringify(payload),
  retain: false,
});

function lines(messages: readonly Message[]): readonly string[] {
  let open: OpenRows = new Map();
  const out: string[] = [];
  for (const one of messages) {
    const entered = enter(columns, open, one);
    open = entered.open;
    out.push(...entered.lines);
  }
  return [...out, ...closingLines(open)];
}

describe('a table for import', () => {
  it('joins what is stamped alike, whatever the form of the stamp, and leaves empty what was not said', () => {
    expect(
      lines([
        message('d', { t: 1000, speed: 60 }),
        message('n', { t: '1970-01-01T00:00:01.000Z', load: 0.3 }),
        message('d', { t: 2000 }),
      ]),
    ).toEqual(['1970-01-01T00:00:01.000Z,60,0.3', '1970-01-01T00:00:02.000Z,,']);
  });

  it('keeps the first of what comes twice, and puts what comes late in its place', () => {
    expect(
      lines([
        message('d', { t: 2000, speed: 61 }),
        message('d', { t: 2000, speed: 99 }),
        message('d', { t: 1000, speed: 60 }),
      ]),
    ).toEqual(['1970-01-01T00:00:01.000Z,60,', '1970-01-01T00:00:02.000Z,61,']);
  });

  it('holds no more than the newest rows open, and quotes what needs it (RFC 4180)', () => {
    const many = Array.from({ length: 500 }, (_, i) =>
      message('d', { t: i * 1000, speed: i === 3 ? 'a,"b"' : i }),
    );
    let open: OpenRows = new Map();
    for (const one of many) open = enter(columns, open, one).open;
    expect(open.size).toBe(64);
    expect(lines(many)).toHaveLength(500);
    expect(lines(many)[3]).toBe('1970-01-01T00:00:03.000Z,"a,""b""",');
  });
});
