import type { NewJournalRow } from '@edge-margin/telemetry';
import { describe, expect, it } from 'vitest';
import type { Effect } from './effect.js';
import type { MonitorDependencies } from './model.js';
import { type Monitor, openAlarms, restoreMonitor } from './monitor.js';
import { foldRow } from './running-monitor.js';

const dependencies: MonitorDependencies = { textDecoder: (bytes) => String.fromCharCode(...bytes) };
const plantFile = `
plantFileVersion: 1
site: { id: s, name: S }
areas: [{ id: a, name: A, lines: [{ id: l, name: L, winders: [{ id: w, name: W,
  limits: { speedMPerS: { min: 0, max: 12 }, tensionNPerM: { min: 40, max: 300 }, nipLoadNPerM: { min: 50, max: 800 }, diameterM: { max: 0.8 } },
  stations: [{ id: a, name: A, coreDiameterM: 0.152, rolls: [{ id: r, widthM: 1.2 }], defaultGrade: g,
    nip: { kind: lay-on roller, rollerDiameterM: 0.12, coverModulusPa: 3.0e+6, effectiveMassPerEndKg: 20 } }] }] }] }]
grades:
  - { id: g, name: Test film, caliperM: 100.0e-6, combinedRoughnessM: 0.5e-6, permeanceMPerPaS: 0, setEndDiameterM: 0.3, activated: true,
      calibration: { ratedRolls: 12, criticalSpeedUncertaintyRatio: 0.03, approvedBy: test, approvedOn: 2026-01-01 } }
sources:
  - topic: m/{winder}/{station}
    time: { pointer: /t, format: epoch-ms }
    signals:
      - { signal: speed, pointer: /v, expectedPeriodS: 1 }
      - { signal: diameter, pointer: /d, expectedPeriodS: 1, uncertainty: 0.0003 }
      - { signal: tension, pointer: /f, expectedPeriodS: 1 }
      - { signal: nipLoad, pointer: /load, expectedPeriodS: 1 }
      - { signal: winding, pointer: /on }
      - { signal: nipAcceleration, pointer: /peak, expectedPeriodS: 1 }
      - { signal: nipLoadSwing, pointer: /swing, expectedPeriodS: 1 }
limits: { nipBounce: { onDelayS: 2, offDelayS: 2 } }
`;
const hourMs = 3_600_000;
const nip = 'w.a.nip';

/** A winder whose gateway and service go by the same clock, which somebody sets. */
function underTest() {
  let monitor: Monitor = restoreMonitor(new Map(), dependencies);
  let position = 0;
  let clockMs = 1_790_000_000_000;
  let metres = 0;
  const effects: Effect[] = [];
  const fold = (row: NewJournalRow): void => {
    position += 1;
    const step = foldRow(monitor, { ...row, position }, dependencies);
    monitor = step.monitor;
    effects.push(...step.effects);
  };
  const readings = (swing: number): void => {
    const d = Math.sqrt(0.152 ** 2 + (4 * 100e-6 * metres) / Math.PI);
    const text = JSON.stringify({ t: clockMs, v: 3, d, f: 100, load: 300, on: 1, peak: 1, swing });
    const payload = Uint8Array.from(text, (letter) => letter.charCodeAt(0));
    fold({
      kind: 'message',
      topic: 'm/w/a',
      payload,
      qos: 1,
      retain: false,
      dup: false,
      arrivedAtMs: clockMs + 5,
    });
  };
  fold({ kind: 'config', arrivedAtMs: clockMs, plantFile, revision: 'r1' });
  fold({ kind: 'link', arrivedAtMs: clockMs, link: 'broker', state: 'up' });
  return {
    /** Seconds of readings with ticks; without readings where the swing is left out. */
    run: (seconds: number, swing?: number): void => {
      for (let second = 0; second < seconds; second += 1) {
        clockMs += 1000;
        metres += 3;
        if (swing !== undefined) readings(swing);
        fold({ kind: 'tick', arrivedAtMs: clockMs + 20 });
      }
    },
    setClock: (byMs: number): void => void (clockMs += byMs),
    clock: () => clockMs,
    lastAssessment: () =>
      effects.flatMap((effect) => (effect.kind === 'assessment' ? [effect.assessment] : [])).at(-1),
    alarm: (key: string) => openAlarms(monitor).find(({ alarmKey }) => alarmKey === key),
    transitions: (key: string) =>
      effects.flatMap((effect) =>
        effect.kind === 'alarm-transition' && effect.transition.alarm.alarmKey === key
          ? [effect.transition]
          : [],
      ),
    gaps: () => effects.flatMap((effect) => (effect.kind === 'gap' ? [effect] : [])),
    tooLate: () =>
      effects.filter((effect) => effect.kind === 'not-used' && effect.notUsed.because.code === 'too-late')
        .length,
  };
}

describe('a clock that is set back', () => {
  it('takes the station with it: assessments go on with the next readings, in the new time, and the gap is recorded once', () => {
    const winder = underTest();
    winder.run(30, 0.03);
    expect(winder.lastAssessment()?.state.word).not.toBe('not-watched');
    winder.setClock(-hourMs);
    winder.run(10, 0.03);
    const after = winder.lastAssessment();
    expect(winder.clock() - (after?.atMs ?? 0)).toBeLessThan(5000);
    expect(winder.clock() - (after?.atMs ?? 0)).toBeGreaterThanOrEqual(0);
    expect(after?.state.word).not.toBe('not-watched');
    expect(winder.tooLate()).toBe(0);
    expect(winder.gaps().map(({ gap }) => gap.because.code)).toEqual(['clock-set-back']);
  });

  it('does the same where the clock was wrong before and is put right', () => {
    const winder = underTest();
    winder.run(10, 0.03);
    winder.setClock(hourMs);
    winder.run(30, 0.03);
    winder.setClock(-hourMs);
    winder.run(10, 0.03);
    expect(Math.abs(winder.clock() - (winder.lastAssessment()?.atMs ?? 0))).toBeLessThan(5000);
    expect(winder.lastAssessment()?.state.word).not.toBe('not-watched');
  });

  it('keeps an alarm that is open, under its name, and lets it clear when its cause is gone', () => {
    const winder = underTest();
    winder.run(20, 0.6);
    const before = winder.alarm(nip);
    expect(before?.state).toBe('UNACK');
    winder.setClock(-hourMs);
    winder.run(10, 0.6);
    expect(winder.alarm(nip)?.occurrenceId).toBe(before?.occurrenceId);
    expect(winder.alarm(nip)?.state).toBe('UNACK');
    winder.run(20, 0.03);
    expect(winder.alarm(nip)?.state).toBe('RTNUN');
    expect(winder.transitions(nip).map(({ kind }) => kind)).toEqual(['raise', 'clear']);
  });

  it('raises a new alarm after its delay in the new time', () => {
    const winder = underTest();
    winder.run(20, 0.03);
    winder.setClock(-hourMs);
    winder.run(5, 0.03);
    winder.run(8, 0.6);
    const [raise] = winder.transitions(nip);
    expect(raise?.kind).toBe('raise');
    expect(winder.clock() - (raise?.atMs ?? 0)).toBeLessThan(10_000);
  });

  it('notices missing readings in the new time, instead of letting the last assessment stand', () => {
    const winder = underTest();
    winder.run(20, 0.03);
    winder.setClock(-hourMs);
    winder.run(60);
    expect(winder.lastAssessment()?.state.word).toBe('not-watched');
    expect(winder.alarm('w.a.signal')?.state).toBe('UNACK');
    expect(winder.clock() - (winder.lastAssessment()?.atMs ?? 0)).toBeLessThan(10_000);
  });

  it('is not seen in the seconds by which clocks are corrected all the time', () => {
    const winder = underTest();
    winder.run(20, 0.03);
    winder.setClock(-2000);
    winder.run(20, 0.03);
    expect(winder.gaps()).toEqual([]);
    expect(winder.clock() - (winder.lastAssessment()?.atMs ?? 0)).toBeLessThan(5000);
  });
});
