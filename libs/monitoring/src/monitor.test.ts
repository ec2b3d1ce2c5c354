import type { AlarmTransition, AlarmView } from '@edge-margin/alarms';
import type { NewJournalRow } from '@edge-margin/telemetry';
import { describe, expect, it } from 'vitest';
import type { StationAssessment } from './assessment.js';
import type { CommandAnswer, Effect } from './effect.js';
import type { MonitorDependencies } from './model.js';
import { type Monitor, openAlarms, restoreMonitor } from './monitor.js';
import { foldRow } from './running-monitor.js';

const dependencies: MonitorDependencies = { textDecoder: (bytes) => String.fromCharCode(...bytes) };
const startMs = 1_790_000_000_000;

interface PlantChoice {
  readonly activated?: boolean;
  readonly permeance?: string;
  readonly nipSignals?: boolean;
  readonly display?: 'metric' | 'us';
  readonly speedMin?: number;
  readonly riskLimit?: number;
  readonly naturalFrequencyHz?: number;
  /** Instead of a measured nip load. */
  readonly loadFrom?: string;
}

/** A film winder near its limit: the critical speed falls through 6 m/s at about 235 mm. */
function plantText({
  activated = true,
  permeance = '0',
  nipSignals = true,
  display = 'metric',
  speedMin = 0,
  riskLimit = 0.5,
  naturalFrequencyHz,
  loadFrom,
}: PlantChoice = {}): string {
  const calibration =
    '{ ratedRolls: 12, criticalSpeedUncertaintyRatio: 0.03, approvedBy: test, approvedOn: 2026-01-01 }';
  return `
plantFileVersion: 1
site: { id: s, name: S }
display: ${display}
areas: [{ id: a, name: A, lines: [{ id: l, name: L, winders: [{ id: w, name: W,
  limits: { speedMPerS: { min: ${speedMin}, max: 12 }, tensionNPerM: { min: 40, max: 300 }, nipLoadNPerM: { min: 50, max: 800 }, diameterM: { max: 0.8 } },
  stations: [{ id: a, name: A, coreDiameterM: 0.152, rolls: [{ id: r, widthM: 1.2 }], defaultGrade: g,
    nip: { kind: lay-on roller, rollerDiameterM: 0.12, coverModulusPa: 3.0e+6, effectiveMassPerEndKg: 20${naturalFrequencyHz === undefined ? '' : `, naturalFrequencyHz: ${naturalFrequencyHz}`}${loadFrom === undefined ? '' : `, loadFrom: ${loadFrom}`} } }] }] }] }]
grades:
  - { id: g, name: Test film, caliperM: 100.0e-6, combinedRoughnessM: 0.5e-6, permeanceMPerPaS: ${permeance}, grammageKgPerM2: 0.09, setEndDiameterM: 0.3,
      activated: ${activated}${activated ? `, calibration: ${calibration}` : ''} }
sources:
  - topic: m/{winder}/{station}
    time: { pointer: /t, format: epoch-ms }
    signals:
      - { signal: speed, pointer: /v, expectedPeriodS: 1 }
      - { signal: diameter, pointer: /d, expectedPeriodS: 1, uncertainty: 0.0003 }
      - { signal: tension, pointer: /f, expectedPeriodS: 1 }
${loadFrom === undefined ? '      - { signal: nipLoad, pointer: /load, expectedPeriodS: 1 }' : '      - { signal: cylinderPressure, pointer: /p, unit: bar, expectedPeriodS: 1 }\n      - { signal: riderLoad, pointer: /rider, expectedPeriodS: 1 }'}
      - { signal: winding, pointer: /on }
      - { signal: grade, pointer: /grade }
${nipSignals ? '      - { signal: nipAcceleration, pointer: /peak, expectedPeriodS: 1 }\n      - { signal: nipLoadSwing, pointer: /swing, expectedPeriodS: 1 }' : ''}
limits: { edgeRisk: { reached: ${riskLimit}, lookAheadS: 60, responseS: 5 } }
`;
}

type Fields = Readonly<Record<string, number | string | undefined>>;

/** A plant under test: each call is a second of readings, a tick, or a person's command. */
function underTest(choice: PlantChoice = {}) {
  let monitor: Monitor = restoreMonitor(new Map(), dependencies);
  let position = 0;
  let second = 0;
  const effects: Effect[] = [];
  const fold = (row: NewJournalRow): readonly Effect[] => {
    position += 1;
    const step = foldRow(monitor, { ...row, position }, dependencies);
    monitor = step.monitor;
    effects.push(...step.effects);
    return step.effects;
  };
  const atMs = (): number => startMs + second * 1000;
  fold({ kind: 'config', arrivedAtMs: startMs, plantFile: plantText(choice), revision: 'r1' });
  fold({ kind: 'link', arrivedAtMs: startMs, link: 'broker', state: 'up' });
  const lengthM = (): number => 6 * second;
  const normal = (): Fields => ({
    v: 6,
    d: Math.sqrt(0.152 ** 2 + (4 * 100e-6 * lengthM()) / Math.PI),
    f: 100,
    load: 300,
    on: 1,
    p: 1,
    rider: 500,
    peak: 1,
    swing: 0.03,
  });
  return {
    /** Lets seconds pass with readings; `changes` of undefined leave a field out. */
    run: (seconds: number, changes: Fields = {}): void => {
      for (let done = 0; done < seconds; done += 1, second += 1) {
        const body = JSON.stringify({ t: atMs(), ...normal(), ...changes });
        fold({
          kind: 'message',
          arrivedAtMs: atMs() + 20,
          topic: 'm/w/a',
          payload: bytes(body),
          qos: 1,
          retain: false,
          dup: false,
        });
        fold({ kind: 'tick', arrivedAtMs: atMs() + 500 });
      }
    },
    silence: (seconds: number): void => {
      for (let done = 0; done < seconds; done += 1, second += 1)
        fold({ kind: 'tick', arrivedAtMs: atMs() + 500 });
    },
    fold,
    atMs,
    monitor: () => monitor,
    effects,
    latest: (): StationAssessment => {
      const found = effects.filter((effect) => effect.kind === 'assessment').at(-1);
      if (found?.kind !== 'assessment') throw new Error('nothing was assessed');
      return found.assessment;
    },
    transitions: (): readonly AlarmTransition[] =>
      effects.flatMap((effect) => (effect.kind === 'alarm-transition' ? [effect.transition] : [])),
    notUsed: (): readonly string[] =>
      effects.flatMap((effect) => (effect.kind === 'not-used' ? [effect.notUsed.because.code] : [])),
    alarm: (key: string): AlarmView | undefined =>
      openAlarms(monitor).find(({ alarmKey }) => alarmKey === key),
    acknowledge: (alarmKey: string, occurrenceId: string): CommandAnswer => {
      const row: NewJournalRow = {
        kind: 'command',
        arrivedAtMs: atMs(),
        commandId: `c${position}`,
        actor: 'Rosa',
        command: { type: 'acknowledge-alarm', alarmKey, occurrenceId },
      };
      const answer = fold(row).find((effect) => effect.kind === 'command-answer');
      if (answer?.kind !== 'command-answer') throw new Error('no answer');
      return answer.answer;
    },
  };
}

function bytes(text: string): Uint8Array {
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
}

describe('a roll near its limit', () => {
  it('is foreseen, reached, and clear again after the speed is lowered; one occurrence all the way', () => {
    const plant = underTest();
    plant.run(20);
    expect(plant.latest().state.because.text).toMatch(/^wraps free to move from 2\d\d mm$/);
    expect(plant.alarm('w.a.air')).toMatchObject({ stage: 'foreseen', priority: 'medium', state: 'UNACK' });
    expect(plant.latest().remedy).toMatchObject({ setPoint: 'speed', from: 6 });
    // Under an effective nip tension does not thin the film: said plainly.
    const tension = plant.latest().alternatives.find(({ setPoint }) => setPoint === 'tension');
    expect(tension).toMatchObject({ canHelp: false });
    expect(tension?.because.text).toMatch(/tension does not thin the film/);
    plant.run(35);
    expect(plant.latest().state.word).toBe('free-now');
    expect(plant.alarm('w.a.air')).toMatchObject({ stage: 'reached', priority: 'high' });
    plant.run(20, { v: 4 });
    expect(plant.latest().state.word).toBe('clear-to-end');
    expect(plant.alarm('w.a.air')?.state).toBe('RTNUN');
    const kinds = plant
      .transitions()
      .filter(({ alarm }) => alarm.mechanism === 'air')
      .map(({ kind }) => kind);
    expect(kinds).toEqual(['raise', 'escalate', 'clear']);
    expect(new Set(plant.transitions().map(({ alarm }) => alarm.occurrenceId)).size).toBe(1);
  });

  it('is assessed with a limit of the risk that nothing reaches', () => {
    const plant = underTest({ riskLimit: 1 });
    plant.run(60);
    expect(plant.latest().forecast.boundary).not.toBeNull();
    expect(plant.latest().risk.limit).toBe(1);
  });

  it('has a margin of 0 and a risk of one half at the expected boundary', () => {
    const plant = underTest();
    plant.run(56);
    const points = plant.effects.flatMap((effect) =>
      effect.kind === 'assessment' ? [effect.assessment] : [],
    );
    const crossing = points.find(({ air }) => air.marginRatio.kind === 'known' && air.marginRatio.value <= 0);
    expect(crossing?.risk.air).toMatchObject({ kind: 'known' });
    expect((crossing?.risk.air as { value: number }).value).toBeGreaterThan(0.49);
    expect((crossing?.risk.air as { value: number }).value).toBeLessThan(0.7);
  });

  it('offers more nip load where the machine cannot run slowly enough', () => {
    const plant = underTest({ speedMin: 5.9 });
    plant.run(20);
    const { remedy } = plant.latest();
    expect(remedy).toMatchObject({ setPoint: 'nipLoad', from: 300 });
    expect(remedy?.to).toBeLessThanOrEqual(800);
    expect(remedy?.because.text).toMatch(/raise the nip load from 0.30 kN\/m to 0\.\d\d kN\/m before \d+ mm/);
  });

  it('speaks US units where the plant file says so', () => {
    const plant = underTest({ display: 'us' });
    plant.run(20);
    expect(plant.latest().state.because.text).toMatch(/^wraps free to move from \d\.\d in$/);
    expect(plant.latest().remedy?.because.text).toMatch(/ft\/min/);
  });
});

describe('the air that is wound in', () => {
  it('is measured from the growth of the roll and held against the model', () => {
    const plant = underTest();
    plant.run(50);
    const { woundInAir } = plant.latest();
    expect(woundInAir?.layerThicknessM).toMatchObject({ kind: 'known' });
    expect((woundInAir?.layerThicknessM as { value: number }).value).toBeCloseTo(100e-6, 6);
    expect(woundInAir?.againstModel.because.text.length).toBeGreaterThan(10);
  });

  it('follows a nip that is lifted on purpose within a few hundred metres of web', () => {
    const plant = underTest();
    plant.run(40);
    const before = plant.latest().woundInAir?.layerThicknessM as { value: number };
    // The nip is open: 40 um of air go in on top of the 100 um of caliper.
    let squared = 0.152 ** 2 + (4 * 100e-6 * 6 * 40) / Math.PI;
    let followedAtM: number | undefined;
    for (let second = 0; second < 50; second += 1) {
      squared += (4 * 140e-6 * 6) / Math.PI;
      plant.run(1, { d: Math.sqrt(squared), load: 0 });
      const air = plant.latest().woundInAir?.airThicknessM;
      if (followedAtM === undefined && air?.kind === 'known' && air.value > 30e-6)
        followedAtM = 6 * (second + 1);
    }
    expect(before.value).toBeCloseTo(100e-6, 6);
    expect(followedAtM).toBeLessThan(300);
    expect(plant.latest().woundInAir).toMatchObject({ verdict: 'conclusive' });
    expect((plant.latest().woundInAir?.airThicknessM as { value: number }).value).toBeCloseTo(40e-6, 5);
    expect(plant.latest().nip.because.text).toMatch(/nip is open/);
  });

  it('is not told where it would be smaller than its uncertainty, and the accuracy that would do is named', () => {
    const plant = underTest();
    plant.run(6);
    expect(plant.latest().woundInAir).toMatchObject({ verdict: 'not-conclusive' });
  });
});

describe('a nip load that nothing measures', () => {
  it('is reckoned from cylinder pressure, lever and weight', () => {
    const plant = underTest({
      loadFrom: '{ cylinders: { boreDiameterM: 0.05, massPerEndKg: 20, closingAngleRad: 1.5708 } }',
    });
    plant.run(10);
    // Two cylinders of 50 mm at 1 bar: 2 x 196.35 N over 1.2 m (own arithmetic).
    expect((plant.latest().nip.loadNPerM as { value: number }).value).toBeCloseTo(327.2, 0);
    expect(plant.latest().air.marginRatio.kind).toBe('known');
  });

  it('is reckoned from the weight of the roll and the rider on two drums, and grows with the roll', () => {
    const drums = '{ drums: { backDrumDiameterM: 0.3, frontDrumDiameterM: 0.3, centreDistanceM: 0.31 } }';
    const plant = underTest({ loadFrom: drums });
    plant.run(10);
    const first = (plant.latest().nip.loadNPerM as { value: number }).value;
    plant.run(30);
    expect((plant.latest().nip.loadNPerM as { value: number }).value).not.toBeCloseTo(first, 0);
    expect(first).toBeGreaterThan(250);
  });
});

describe('a change of speed', () => {
  it('says where it moves the resonances of the nip, if the plant file tells its natural frequency', () => {
    const plant = underTest({ naturalFrequencyHz: 16 });
    plant.run(20);
    const effects = plant.latest().remedy?.sideEffects.map(({ text }) => text) ?? [];
    // n V/(pi f_n): order 2 at 6 m/s lies at 239 mm.
    expect(effects[0]).toMatch(/order 2 of the nip moves from 239 mm to \d+ mm/);
  });
});

describe('a grade that no rated roll has confirmed', () => {
  it('runs as a silent trial: computed and stored, no boundary in time, nobody called', () => {
    const plant = underTest({ activated: false });
    plant.run(60);
    const assessment = plant.latest();
    expect(assessment.state.word).toBe('trial');
    expect(assessment.forecast).toMatchObject({ boundary: null, actBy: null });
    expect(assessment.risk.meaning).toBe('wraps-free-to-move');
    expect(assessment.air.marginRatio.kind).toBe('known');
    expect(plant.transitions()).toEqual([]);
  });
});

describe('a web that air does not trouble', () => {
  it('says so with the reason, and the station is clear', () => {
    const plant = underTest({ permeance: '3.0e-6' });
    plant.run(30);
    expect(plant.latest().air).toMatchObject({ applies: false });
    expect(plant.latest().air.because.text).toMatch(/no air problem/);
    expect(plant.latest().state.word).toBe('clear-to-end');
    expect(plant.latest().risk.now).toMatchObject({ kind: 'known', value: 0 });
  });
});

describe('what cannot be seen', () => {
  it('is never called clear: without a nip signal the station is not watched', () => {
    const plant = underTest({ nipSignals: false, permeance: '3.0e-6' });
    plant.run(20);
    expect(plant.latest().state.word).toBe('not-watched');
    expect(plant.latest().risk.now.kind).toBe('unknown');
  });

  it('names the signal that has not come yet', () => {
    const plant = underTest();
    plant.run(10, { f: undefined });
    expect(plant.latest().state.because.text).toBe('not watched: no tension has come yet');
  });

  it('names the signal that stopped and since when, and calls maintenance once', () => {
    const plant = underTest();
    plant.run(10);
    plant.run(12, { f: undefined });
    expect(plant.latest().state.because.text).toMatch(/^not watched: no tension since \d\d:\d\d:\d\d UTC$/);
    expect(plant.alarm('w.a.signal')).toMatchObject({ mechanism: 'signal', priority: 'low', state: 'UNACK' });
    expect(plant.alarm('w.a.signal')?.because.text).toContain('tension');
    expect(
      plant
        .transitions()
        .filter(({ alarm }) => alarm.mechanism === 'signal')
        .map(({ kind }) => kind),
    ).toEqual(['raise']);
  });

  it('does not clear an alarm: it is frozen and says that its input is stale', () => {
    const plant = underTest();
    plant.run(10, { swing: 0.6 });
    expect(plant.alarm('w.a.nip')?.state).toBe('UNACK');
    plant.silence(60);
    expect(plant.alarm('w.a.nip')).toMatchObject({ state: 'UNACK', inputQuality: 'stale' });
    plant.run(20);
    expect(plant.alarm('w.a.nip')?.state).toBe('RTNUN');
  });

  it('makes a grade that the plant file does not know a reason, not a guess', () => {
    const plant = underTest();
    plant.run(10, { grade: 'other' });
    expect(plant.latest().state.because.text).toBe('not watched: the plant file has no grade other');
  });
});

describe('time', () => {
  it('counts a reading whose second is over as too late, keeps it in the series, and changes no assessment', () => {
    const plant = underTest();
    plant.run(10);
    const before = JSON.stringify(plant.latest());
    const body = JSON.stringify({ t: plant.atMs() - 8000, v: 1 });
    const effects = plant.fold({
      kind: 'message',
      arrivedAtMs: plant.atMs(),
      topic: 'm/w/a',
      payload: bytes(body),
      qos: 1,
      retain: false,
      dup: false,
    });
    expect(plant.notUsed()).toContain('too-late');
    expect(effects.some((effect) => effect.kind === 'samples' && effect.samples[0]?.value === 1)).toBe(true);
    expect(JSON.stringify(plant.latest())).toBe(before);
  });

  it('passes without readings, so that a silent station is assessed every second', () => {
    const plant = underTest();
    plant.run(5);
    const count = plant.effects.filter((effect) => effect.kind === 'assessment').length;
    plant.silence(20);
    expect(plant.effects.filter((effect) => effect.kind === 'assessment').length).toBeGreaterThan(count + 15);
  });
});

describe('rolls', () => {
  it('are recorded at start and end with what was wound; alarms of a roll that is gone clear', () => {
    const plant = underTest();
    plant.run(55);
    plant.run(20, { on: 0, v: 0, d: 0.152 });
    const rolls = plant.effects.flatMap((effect) => (effect.kind === 'roll' ? [effect.roll] : []));
    expect(rolls).toHaveLength(2);
    expect(rolls[1]?.rollId).toBe(rolls[0]?.rollId);
    expect(rolls[1]?.woundLengthM).toBeGreaterThan(300);
    expect(rolls[1]?.highestRisk).toBeGreaterThan(0.5);
    expect(plant.latest().state.word).toBe('no-roll');
    expect(plant.alarm('w.a.air')?.state).toBe('RTNUN');
  });
});

describe('a nip that lifts off', () => {
  it('is said to let in the film of no nip, and puts the stop rule of the site before any remedy', () => {
    const plant = underTest();
    plant.run(10);
    expect(plant.latest().air.nipLifted).toBeNull();
    plant.run(8, { swing: 0.99 });
    expect(plant.latest().air.nipLifted?.text).toMatch(
      /^where the nip lifts off, a film of \d+\.\d+ µm goes in instead of \d\.\d+ µm$/,
    );
    expect(plant.alarm('w.a.nip')?.response).toMatch(/^The stop rule of the site comes first/);
  });
});

describe('acknowledging', () => {
  it('takes the present occurrence, refuses another, and does not know other alarms', () => {
    const plant = underTest();
    plant.run(20);
    const alarm = plant.alarm('w.a.air');
    expect(plant.acknowledge('w.a.heat', 'x')).toMatchObject({ ok: false, failure: 'not-found' });
    expect(plant.acknowledge('w.a.air', 'w.a.air@1')).toMatchObject({ ok: false, failure: 'conflict' });
    expect(plant.acknowledge('w.a.air', alarm?.occurrenceId ?? '')).toMatchObject({ ok: true });
    expect(plant.alarm('w.a.air')).toMatchObject({ state: 'ACKED', acknowledged: { actor: 'Rosa' } });
  });

  it('is undone by an escalation: what has become worse is annunciated anew', () => {
    const plant = underTest();
    plant.run(20);
    plant.acknowledge('w.a.air', plant.alarm('w.a.air')?.occurrenceId ?? '');
    plant.run(35);
    expect(plant.alarm('w.a.air')).toMatchObject({ state: 'UNACK', stage: 'reached' });
  });
});

describe('the link', () => {
  it('that comes back without its session is recorded as a gap', () => {
    const plant = underTest();
    plant.run(3);
    plant.fold({ kind: 'link', arrivedAtMs: plant.atMs(), link: 'broker', state: 'down' });
    plant.silence(30);
    plant.fold({
      kind: 'link',
      arrivedAtMs: plant.atMs(),
      link: 'broker',
      state: 'up',
      sessionPresent: false,
    });
    const gap = plant.effects.find((effect) => effect.kind === 'gap');
    expect(gap?.kind === 'gap' ? gap.gap : undefined).toMatchObject({ what: 'messages', toMs: plant.atMs() });
  });
});
