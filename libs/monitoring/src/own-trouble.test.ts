import type { AlarmTransition, AlarmView } from '@edge-margin/alarms';
import { reason } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import type { Effect } from './effect.js';
import { type Monitor, openAlarms, reportedTroubles, restoreMonitor, savedStates } from './monitor.js';
import { ownAlarmDefinitions, ownTroubles, troubleResponse } from './own-trouble.js';
import { foldRow } from './running-monitor.js';

const dependencies = { textDecoder: (bytes: Uint8Array) => String.fromCharCode(...bytes) };
const startMs = 1_790_000_000_000;
const plantFile = `
plantFileVersion: 1
site: { id: s, name: S }
areas: [{ id: a, name: A, lines: [{ id: l, name: L, winders: [{ id: w, name: W,
  limits: { speedMPerS: { min: 0, max: 12 }, tensionNPerM: { min: 40, max: 300 }, nipLoadNPerM: { min: 50, max: 800 }, diameterM: { max: 0.8 } },
  stations: [{ id: a, name: A, coreDiameterM: 0.152, rolls: [{ id: r, widthM: 1.2 }], defaultGrade: g, nip: null }] }] }] }]
grades:
  - { id: g, name: Test film, caliperM: 100.0e-6, combinedRoughnessM: 0.5e-6, permeanceMPerPaS: 0, grammageKgPerM2: 0.09, setEndDiameterM: 0.3, activated: false }
sources:
  - topic: m/{winder}/{station}
    signals: [{ signal: speed, pointer: /v, expectedPeriodS: 1 }, { signal: diameter, pointer: /d, expectedPeriodS: 1 }, { signal: tension, pointer: /f, expectedPeriodS: 1 }]
`;

/** A service under test: reports and acknowledgements as the shell journals them. */
function underTest() {
  let monitor: Monitor = restoreMonitor(new Map(), dependencies);
  let position = 0;
  const fold = (row: Parameters<typeof foldRow>[1]): readonly Effect[] => {
    const step = foldRow(monitor, row, dependencies);
    monitor = step.monitor;
    return step.effects;
  };
  const at = (arrivedAtMs: number) => ({ arrivedAtMs, position: (position += 1) });
  fold({ kind: 'config', ...at(startMs), plantFile, revision: 'r1' });
  return {
    report: (
      trouble: string,
      stage: 'foreseen' | 'reached' | null,
      atS: number,
      code = 'seen',
    ): readonly Effect[] =>
      fold({
        kind: 'command',
        ...at(startMs + atS * 1000),
        commandId: `c${position}`,
        actor: 'edge-margin',
        command: { type: 'report-own-trouble', trouble, stage, because: reason(code, `${code} at ${atS} s`) },
      }),
    acknowledge: (alarm: AlarmView, atS: number): readonly Effect[] =>
      fold({
        kind: 'command',
        ...at(startMs + atS * 1000),
        commandId: `c${position}`,
        actor: 'Rosa',
        command: {
          type: 'acknowledge-alarm',
          alarmKey: alarm.alarmKey,
          occurrenceId: alarm.occurrenceId,
        },
      }),
    restart: (): void => {
      const saved = savedStates(monitor, ['#plant']).map(
        ({ stationKey, json }) => [stationKey, json] as const,
      );
      monitor = restoreMonitor(new Map(saved), dependencies);
    },
    open: (): AlarmView[] => openAlarms(monitor),
    reported: () => reportedTroubles(monitor),
  };
}

const transitions = (effects: readonly Effect[]): AlarmTransition[] =>
  effects.flatMap((effect) => (effect.kind === 'alarm-transition' ? [effect.transition] : []));

describe('the service’s own alarms', () => {
  it('are raised by a report, in words that say what to do, and belong to no station', () => {
    const service = underTest();
    const [raised] = transitions(service.report('disk-space', 'foreseen', 1));
    expect(raised).toMatchObject({ kind: 'raise', from: 'NORM', to: 'UNACK', actor: null });
    expect(raised?.alarm).toMatchObject({
      alarmKey: 'service.s.disk-space',
      occurrenceId: `service.s.disk-space@${startMs + 1000}`,
      winderId: '',
      stationId: '',
      mechanism: 'service',
      priority: 'medium',
      because: { code: 'seen' },
      response: troubleResponse('disk-space'),
    });
    expect(service.open()).toEqual([raised?.alarm]);
  });

  it('rise to the higher priority, and have to be acknowledged anew then', () => {
    const service = underTest();
    service.report('disk-space', 'foreseen', 1);
    service.acknowledge(service.open()[0]!, 2);
    expect(service.open()[0]?.state).toBe('ACKED');
    const [escalated] = transitions(service.report('disk-space', 'reached', 3));
    expect(escalated).toMatchObject({ kind: 'escalate', to: 'UNACK', alarm: { priority: 'high' } });
  });

  it('clear by themselves, and stay until somebody has acknowledged them', () => {
    const service = underTest();
    service.report('broker-mute', 'reached', 1);
    service.report('broker-mute', null, 61);
    expect(service.open()[0]).toMatchObject({ state: 'RTNUN', clearedAtMs: startMs + 61_000 });
    const [acknowledged] = transitions(service.acknowledge(service.open()[0]!, 62));
    expect(acknowledged).toMatchObject({ kind: 'acknowledge', to: 'NORM', actor: 'Rosa' });
    expect(service.open()).toEqual([]);
  });

  it('change their words without a transition where the reason is another', () => {
    const service = underTest();
    service.report('messages-lost', 'reached', 1, 'session-lost');
    const effects = service.report('messages-lost', 'reached', 2, 'messages-lost');
    expect(effects).toMatchObject([
      { kind: 'alarm-view', view: { state: 'UNACK', because: { code: 'messages-lost' } } },
    ]);
  });

  it('survive a restart, which also knows what was reported', () => {
    const service = underTest();
    service.report('replica-behind', 'reached', 1);
    service.restart();
    expect(service.open()).toMatchObject([{ alarmKey: 'service.s.replica-behind', state: 'UNACK' }]);
    expect(service.reported().get('replica-behind')).toEqual({
      reported: 'reached',
      code: 'seen',
      seen: null,
    });
    expect(service.reported().get('disk-space')).toEqual({ reported: null, code: null, seen: null });
  });

  it('clear after the clock was set back by an hour', () => {
    const service = underTest();
    service.report('clock-jump', 'reached', 3600);
    service.report('clock-jump', null, 10);
    expect(service.open()[0]?.state).toBe('RTNUN');
  });

  it('pass over a trouble that this version does not know', () => {
    const service = underTest();
    expect(service.report('from-a-newer-version', 'reached', 1)).toEqual([]);
    expect(service.open()).toEqual([]);
  });

  it('have a key that is safe in a topic and in an address, a stage and words for each trouble', () => {
    const definitions = ownAlarmDefinitions('s', { modelRevision: '1', configurationRevision: 'r1' });
    for (const trouble of ownTroubles) {
      expect(definitions[trouble].alarmKey).toMatch(/^service\.s\.[a-z]+(-[a-z]+)*$/);
      expect(definitions[trouble].stages.reached?.priority).toBeDefined();
      expect(troubleResponse(trouble).length).toBeGreaterThan(20);
    }
  });
});
