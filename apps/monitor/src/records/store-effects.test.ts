import type { AlarmTransition, AlarmView } from '@edge-margin/alarms';
import type { Effect, StationAssessment } from '@edge-margin/monitoring';
import type { SeriesSample } from '@edge-margin/series';
import type { Store, StoreBatch } from '@edge-margin/store-sqlite';
import { reason } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import { pipelineStore } from './store-effects.js';

const sample = (field: string, value: number): SeriesSample => ({
  measurement: 'reading',
  winderId: 'w1',
  stationId: 'a',
  end: 'both',
  field,
  atMs: 1_790_000_000_000,
  value,
});
const [first, second] = [{ alarmKey: 'w1.a.air' } as AlarmView, { alarmKey: 'w1.a.nip' } as AlarmView];
const transition = (id: string, alarm: AlarmView): AlarmTransition => ({ id, alarm }) as AlarmTransition;
const roll = (rollId: string) => ({ rollId }) as Extract<Effect, { kind: 'roll' }>['roll'];
const late = reason('late', 'too late');
const lost = { what: 'messages', fromMs: 1, toMs: 2, count: null, because: reason('session-lost', 'lost') };
const notUsed = (arrivedAtMs: number) => ({
  because: late,
  topic: 't',
  arrivedAtMs,
  sample: `at ${arrivedAtMs}`,
});

const effects: readonly Effect[] = [
  { kind: 'samples', samples: [sample('speed', 1), sample('tension', 2)] },
  { kind: 'not-used', notUsed: notUsed(1) },
  { kind: 'alarm-transition', id: 'one', transition: transition('one', first) },
  { kind: 'samples', samples: [] },
  { kind: 'assessment', id: 'w1/a@1:assessment', assessment: {} as StationAssessment },
  { kind: 'alarm-view', view: second },
  { kind: 'roll', id: 'r1', roll: roll('r1') },
  { kind: 'gap', id: 'g1', gap: lost },
  { kind: 'command-answer', commandId: 'c1', answer: { ok: true, alarm: first } },
  { kind: 'samples', samples: [sample('speed', 3)] },
  { kind: 'not-used', notUsed: notUsed(5) },
  { kind: 'alarm-transition', id: 'two', transition: transition('two', second) },
  { kind: 'roll', id: 'r2', roll: roll('r2') },
];

function batchOf(given: readonly Effect[]): StoreBatch {
  const batches: StoreBatch[] = [];
  const store: Pick<Store, 'readPosition' | 'readStates' | 'commitBatch'> = {
    readPosition: () => 0,
    readStates: () => new Map(),
    commitBatch: (batch) => {
      batches.push(batch);
      return { applied: true };
    },
  };
  const message = (id: string) => ({ id, topic: `site/${id}`, payload: '', retain: true, qos: 1 as const });
  const pipeline = pipelineStore(store as Store, (effect) =>
    'id' in effect ? [message(effect.id), message(`${effect.id}, again`)] : [],
  );
  const states = [{ stationKey: 'w1/a', json: '{}' }];
  expect(pipeline.commit({ position: 9, effects: given, states })).toBe(true);
  expect(batches).toHaveLength(1);
  return batches[0]!;
}

describe('what is stored of effects', () => {
  it('is every one of them, kind by kind, in the order in which they came about', () => {
    expect(batchOf(effects)).toEqual({
      position: 9,
      samples: [sample('speed', 1), sample('tension', 2), sample('speed', 3)],
      alarmTransitions: [transition('one', first), transition('two', second)],
      alarmViews: [second],
      rolls: [roll('r1'), roll('r2')],
      notUsed: [
        { code: 'late', count: 2, lastAtMs: 5, last: expect.objectContaining({ sample: 'at 5' }) as unknown },
      ],
      gaps: [{ id: 'g1', ...lost }],
      stationStates: [{ stationKey: 'w1/a', json: '{}' }],
      outbox: ['one', 'w1/a@1:assessment', 'r1', 'g1', 'two', 'r2'].flatMap((id) => [
        expect.objectContaining({ id, topic: `site/${id}` }) as unknown,
        expect.objectContaining({ id: `${id}, again` }) as unknown,
      ]),
    });
  });

  it('is nothing but the position and the states where nothing came about', () => {
    const { position, stationStates, ...rest } = batchOf([]);
    expect([position, stationStates]).toEqual([9, [{ stationKey: 'w1/a', json: '{}' }]]);
    for (const part of Object.values(rest)) expect(part).toEqual([]);
  });
});
