import type { AlarmTransition } from '@edge-margin/alarms';
import type { Effect } from '@edge-margin/monitoring';
import { describe, expect, it } from 'vitest';
import { withRow } from './with-row.js';

const row = {
  kind: 'message',
  position: 41,
  arrivedAtMs: 7,
  topic: 'mill/w/a/drive',
  payload: new Uint8Array(),
  qos: 1,
  retain: false,
  dup: false,
} as const;
const samples: Effect = { kind: 'samples', samples: [] };
const transition: Effect = {
  kind: 'alarm-transition',
  id: 'w.a.air@1:raise',
  transition: {} as AlarmTransition,
};

describe('the row at which effects came about', () => {
  it('is named by alarm transitions only', () => {
    expect(withRow([samples, transition], row)).toEqual([
      samples,
      {
        ...transition,
        transition: { row: { position: 41, kind: 'message', arrivedAtMs: 7, topic: 'mill/w/a/drive' } },
      },
    ]);
  });

  it('costs nothing where there is none', () => {
    const effects = [samples];
    expect(withRow(effects, row)).toBe(effects);
  });
});
