import type { ReplicaRow } from '@edge-margin/series';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createRowDelivery } from './deliver-rows.js';
import { createLineEncoder } from './line-protocol.js';
import { classifyAnswer } from './write-outcome.js';

const row = (seq: number, value: number | string = seq, field = 'speed'): ReplicaRow => ({
  seq,
  sample: {
    measurement: 'reading',
    winderId: 'w1',
    stationId: 'a',
    end: 'both',
    field,
    atMs: 1000 + seq,
    value,
  },
});
const rows = (count: number): ReplicaRow[] => Array.from({ length: count }, (_, index) => row(index + 1));
const signal = new AbortController().signal;

/** Stands for a server that fails in one way: keeps the good lines of each body, as InfluxDB does, and answers by status and body. */
function failing(
  answer: (lines: readonly string[]) => readonly [status: number, error: string, keep: readonly string[]],
) {
  const kept = new Set<string>();
  let requests = 0;
  const { prepare, send } = createRowDelivery<ReplicaRow>(
    createLineEncoder(() => undefined),
    (body) => {
      requests += 1;
      const [status, error, keep] = answer(
        String(body)
          .split('\n')
          .filter((line) => line !== ''),
      );
      for (const line of keep) kept.add(line);
      return Promise.resolve(classifyAnswer(status, JSON.stringify({ error })));
    },
  );
  const deliver = async (given: readonly ReplicaRow[], until: AbortSignal) =>
    send(await prepare(given), until);
  return { deliver, kept, requests: () => requests };
}

describe('bringing rows to InfluxDB', () => {
  it('halves what is too large until it fits', async () => {
    const server = failing((lines) => (lines.length > 10 ? [413, 'too large', []] : [204, '', lines]));
    expect(await server.deliver(rows(100), signal)).toEqual({
      kind: 'delivered',
      refused: [],
      tooLarge: true,
    });
    expect(server.kept.size).toBe(100);
  });

  it('refuses a single row that is too large by itself', async () => {
    const server = failing(() => [413, 'too large', []]);
    const delivery = await server.deliver(rows(1), signal);
    expect(delivery).toMatchObject({
      kind: 'delivered',
      refused: [{ seq: 1, because: { code: 'replica-batch-too-large' } }],
    });
  });

  it('finds exactly the rows that cannot be parsed, wherever they are, and stores all others', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 1, max: 60 }),
        fc.uniqueArray(fc.integer({ min: 1, max: 60 })),
        async (count, badOnes) => {
          const isBad = (line: string): boolean => badOnes.includes(Number(/speed=(\d+)/.exec(line)?.[1]));
          const server = failing((lines) => {
            const good = lines.filter((line) => !isBad(line));
            return good.length === lines.length
              ? [204, '', lines]
              : [400, "partial write: unable to parse '...' dropped=0", good];
          });
          const delivery = await server.deliver(rows(count), signal);
          const expected = badOnes.filter((seq) => seq <= count).sort((a, b) => a - b);
          expect(delivery.kind === 'delivered' && delivery.refused.map(({ seq }) => seq)).toEqual(expected);
          expect(server.kept.size).toBe(count - expected.length);
        },
      ),
    );
  });

  it('needs few requests to set aside the field that the server names', async () => {
    const mixed = Array.from({ length: 2000 }, (_, index) =>
      row(index + 1, index % 5 === 0 ? 'text' : index, index % 5 === 0 ? 'grade' : 'speed'),
    );
    const server = failing((lines) => {
      const good = lines.filter((line) => !line.includes('grade='));
      const error = `partial write: field type conflict: input field "grade" on measurement "reading" is type string, already exists as type float dropped=${lines.length - good.length}`;
      return good.length === lines.length ? [204, '', lines] : [400, error, good];
    });
    const delivery = await server.deliver(mixed, signal);
    expect(delivery.kind === 'delivered' && delivery.refused.length).toBe(400);
    expect(server.kept.size).toBe(1600);
    expect(server.requests()).toBe(3);
  });

  it('does not give up the good fields of an instant with a bad one', async () => {
    const instant = ['speed', 'tension', 'grade'].map((field, index) => ({
      seq: index + 1,
      sample: { ...row(1, 1, field).sample, atMs: 5 },
    }));
    const server = failing((lines) => {
      const good = lines.filter((line) => !line.includes('grade='));
      return good.length === lines.length
        ? [204, '', lines]
        : [400, `partial write: some reason dropped=${lines.length - good.length}`, good];
    });
    const delivery = await server.deliver(instant, signal);
    expect(delivery.kind === 'delivered' && delivery.refused.map(({ sample }) => sample.field)).toEqual([
      'grade',
    ]);
    expect([...server.kept].join()).toMatch(/speed=1.*tension=1/);
  });

  it.each([
    [503, 'retry'],
    [401, 'misconfigured'],
  ])('asks for the whole batch again when %d comes in the middle', async (status, kind) => {
    let requests = 0;
    const server = failing((lines) => {
      requests += 1;
      if (requests === 1) return [413, 'too large', []];
      return requests === 3 ? [status, 'x', []] : [204, '', lines];
    });
    expect(await server.deliver(rows(10), signal)).toMatchObject({ kind });
  });

  it('sends nothing where nothing can be encoded', async () => {
    const server = failing((lines) => [204, '', lines]);
    const delivery = await server.deliver([row(1, NaN), row(2, 1, 'time')], signal);
    expect(
      delivery.kind === 'delivered' && delivery.refused.map(({ seq, because }) => [seq, because.code]),
    ).toEqual([
      [1, 'replica-not-finite'],
      [2, 'replica-field-reserved'],
    ]);
    expect(server.requests()).toBe(0);
  });
});
