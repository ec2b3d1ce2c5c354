import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { sessionFiltersIn } from './session-filters.js';

let directory: string;
let path: string;
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-session-'));
  path = join(directory, 'broker-session.json');
});
afterEach(() => rmSync(directory, { recursive: true }));

const owner = { url: 'mqtt://broker', clientId: 'monitor' };

describe('the record of what the session holds', () => {
  it('is there after a restart', () => {
    sessionFiltersIn(path, owner).write(['a/#', 'b']);
    expect(sessionFiltersIn(path, owner).read()).toEqual(['a/#', 'b']);
  });

  it.each([
    ['another broker', { ...owner, url: 'mqtt://other' }],
    ['another client id', { ...owner, clientId: 'other' }],
  ])('says nothing of the session at %s', (_what, other) => {
    sessionFiltersIn(path, owner).write(['a/#']);
    expect(sessionFiltersIn(path, other).read()).toEqual([]);
  });

  it.each(['', '{', 'null', '{"filters":3}', '[]'])('that is damaged (%j) says nothing', (text) => {
    writeFileSync(path, text);
    expect(sessionFiltersIn(path, owner).read()).toEqual([]);
  });
});
