import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore } from './open-store.js';
import type { Store } from './store.js';

let directory = '';
let store: Store;
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-audit-'));
  store = openStore(join(directory, 'store.sqlite'));
});
afterEach(() => {
  store.close();
  rmSync(directory, { recursive: true, force: true });
});

const add = (atMs: number): void =>
  store.door.audit.add(
    { atMs, actor: null, what: 'sign-in', subject: null, from: null, detail: null },
    'may wait',
  );
const whole = { fromMs: 0, toMs: 1000 };

describe('the audit, page by page', () => {
  it('gives each entry once and in the same order as in one piece, also where a clock was set back', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 20 }), { maxLength: 30 }),
        fc.integer({ min: 1, max: 7 }),
        (times, limit) => {
          const audit = store.door.audit;
          audit.forget(Infinity, 0, 10_000);
          times.forEach(add);
          const all = audit.query({ ...whole, limit: 1000 });
          const paged = [];
          for (let page = audit.query({ ...whole, limit }); page.length > 0;) {
            paged.push(...page);
            page = audit.query({ ...whole, limit, before: page.at(-1)! });
          }
          expect(paged).toEqual(all);
          expect(paged).toHaveLength(times.length);
        },
      ),
      { numRuns: 30 },
    );
  });

  it('goes on where it was, whatever was added and forgotten meanwhile', () => {
    for (let atMs = 1; atMs <= 9; atMs += 1) add(atMs);
    const { audit } = store.door;
    const first = audit.query({ ...whole, limit: 3 });
    add(10);
    audit.forget(3, 1000, 100);
    const second = audit.query({ ...whole, limit: 10, before: first.at(-1)! });
    expect([...first, ...second].map(({ atMs }) => atMs)).toEqual([9, 8, 7, 6, 5, 4, 3]);
  });

  it('goes on from any place that is named, whether or not an entry stands there', () => {
    for (let atMs = 0; atMs < 1000; atMs += 1) add(atMs);
    expect(
      store.door.audit.query({ fromMs: 0, toMs: 999, limit: 2, before: { atMs: 500, id: 501 } }),
    ).toMatchObject([{ atMs: 499 }, { atMs: 498 }]);
  });
});
