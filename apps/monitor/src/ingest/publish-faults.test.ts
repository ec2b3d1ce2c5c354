import { describe, expect, it } from 'vitest';
import { publishFaults } from './publish-faults.js';
import { PublishError } from './publisher.js';

describe('faults of publishing', () => {
  it('last until the broker takes a message of a topic it refused', () => {
    const faults = publishFaults();
    faults.failed('a', new PublishError('refused', 'a: not authorised'), 1);
    faults.failed('a', new PublishError('refused', 'a: not authorised'), 5);
    faults.failed('b', new PublishError('too-large', 'b: 9 bytes'), 6);
    expect(faults.now(10)).toMatchObject([
      { code: 'publish-refused', topic: 'a', sinceMs: 1 },
      { code: 'publish-too-large', topic: 'b', sinceMs: 6 },
    ]);
    faults.published('a');
    faults.published('b');
    expect(faults.now(10)).toMatchObject([{ topic: 'b' }]);
  });

  it('are forgotten where nobody has tried for half an hour', () => {
    const faults = publishFaults();
    faults.failed('a', new PublishError('refused', 'a'), 0);
    expect(faults.now(1_800_000)).toHaveLength(1);
    expect(faults.now(1_800_001)).toEqual([]);
  });

  it('are none where only the connection was missing', () => {
    const faults = publishFaults();
    for (const code of ['not-connected', 'busy', 'link-lost'] as const)
      faults.failed('a', new PublishError(code, code), 1);
    expect(faults.now(1)).toEqual([]);
  });
});
