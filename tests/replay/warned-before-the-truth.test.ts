import { type Effect, foldRow, type MonitorDependencies, restoreMonitor } from '@edge-margin/monitoring';
import {
  happenings,
  openScenario,
  type RollTruth,
  type Scenario,
  type StateTruth,
} from '@edge-margin/simulator';
import type { JournalRow } from '@edge-margin/telemetry';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const decoder = new TextDecoder('utf-8', { fatal: true });
const dependencies: MonitorDependencies = { textDecoder: (bytes) => decoder.decode(bytes) };
const plantFile = readFileSync(
  fileURLToPath(new URL('../../deploy/plant.demo.yaml', import.meta.url)),
  'utf8',
);
const startMs = Date.UTC(2026, 10, 25, 8);

interface Outcome {
  readonly effects: readonly Effect[];
  readonly rolls: readonly RollTruth[];
  readonly states: readonly StateTruth[];
}

/** The service's own fold on what an independent winder sent, beside what really happened in that winder. */
function watch(scenario: Scenario, seed: number): Outcome {
  let monitor = restoreMonitor(new Map(), dependencies);
  const effects: Effect[] = [];
  const rolls: RollTruth[] = [];
  const states: StateTruth[] = [];
  let position = 0;
  const fold = (row: object): void => {
    position += 1;
    const step = foldRow(monitor, { ...row, position } as JournalRow, dependencies);
    monitor = step.monitor;
    effects.push(...step.effects);
  };
  fold({ kind: 'config', arrivedAtMs: startMs, plantFile, revision: 'demo' });
  fold({ kind: 'link', arrivedAtMs: startMs, link: 'broker', state: 'up', sessionPresent: true });
  let tickMs = startMs;
  for (const happening of happenings({ scenario, seed, startMs, durationS: 130 })) {
    if (happening.kind === 'truth') {
      if (happening.truth.kind === 'roll') rolls.push(happening.truth);
      if (happening.truth.kind === 'state') states.push(happening.truth);
      continue;
    }
    const { atMs, payload, retain, topic } = happening;
    for (; tickMs <= atMs; tickMs += 1000) fold({ kind: 'tick', arrivedAtMs: tickMs });
    fold({
      kind: 'message',
      arrivedAtMs: atMs,
      topic,
      payload: new TextEncoder().encode(payload),
      qos: 1,
      retain,
      dup: false,
    });
  }
  return { effects, rolls, states };
}

describe('the demonstration winders, judged by what really happened in them', () => {
  const opened = openScenario('demo.yaml');
  if (!opened.ok) throw new Error('the demonstration scenario cannot be read');

  it.each([1, 2, 3, 4, 5])(
    'warns station A of film-1 before its wraps are really free, and only that station (seed %i)',
    (seed) => {
      const { effects, rolls } = watch(opened.scenario, seed);
      const roll = rolls.find(({ winder, station }) => winder === 'film-1' && station === 'a');
      const truth = roll?.boundary.lasting;
      expect(truth).toBeTruthy();
      const raised = effects.flatMap((effect) =>
        effect.kind === 'alarm-transition' && effect.transition.kind === 'raise' ? [effect.transition] : [],
      );
      const first = raised.find(({ alarm }) => alarm.alarmKey === 'film-1.a.air');
      // Time to act: the response of 8 s that the plant file states, and more.
      expect(first?.atMs).toBeLessThan((truth?.atMs ?? 0) - 8000);
      expect(raised.filter(({ alarm }) => alarm.alarmKey === 'film-1.b.air')).toEqual([]);
      const foreseen = effects.find(
        (effect) =>
          effect.kind === 'assessment' &&
          effect.assessment.stationId === 'a' &&
          effect.assessment.atMs > (first?.atMs ?? 0),
      );
      const expected =
        foreseen?.kind === 'assessment'
          ? foreseen.assessment.forecast.boundary?.expected.diameterM
          : undefined;
      // A calibrated grade: the diameter at the boundary within 10 %.
      expect(Math.abs((expected ?? 0) / (truth?.diameterM ?? 1) - 1)).toBeLessThan(0.1);
    },
  );

  it.each([1, 2, 3])(
    'calls for the rider of the paper winder before it loses contact in its resonance (seed %i)',
    (seed) => {
      const { effects, states } = watch(opened.scenario, seed);
      const resonance = states.filter(({ winder, diameterM }) => winder === 'paper-1' && diameterM > 0.4);
      const nearest = resonance.find(
        ({ inertiaRatio }) => Math.max(inertiaRatio.tending, inertiaRatio.drive) > 0.9,
      );
      expect(nearest).toBeDefined();
      const raised = effects.flatMap((effect) =>
        effect.kind === 'alarm-transition' &&
        effect.transition.kind === 'raise' &&
        effect.transition.alarm.alarmKey === 'paper-1.main.nip'
          ? [effect.transition.atMs]
          : [],
      );
      const lost = resonance.find(
        ({ contactLostRatio }) => Math.max(contactLostRatio.tending, contactLostRatio.drive) > 0,
      );
      expect(raised.some((atMs) => atMs > (resonance[0]?.atMs ?? 0) && atMs <= (nearest?.atMs ?? 0))).toBe(
        true,
      );
      if (lost !== undefined)
        expect(raised.some((atMs) => atMs > (resonance[0]?.atMs ?? 0) && atMs < lost.atMs)).toBe(true);
    },
  );
});
