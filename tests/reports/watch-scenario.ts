import { type Effect, foldRow, type MonitorDependencies, restoreMonitor } from '@edge-margin/monitoring';
import {
  type FinishedRoll,
  gatherRoll,
  happenings,
  NO_PARTS,
  peopleSay,
  type PeopleRecord,
  type Scenario,
  type StateTruth,
} from '@edge-margin/simulator';
import type { JournalRow } from '@edge-margin/telemetry';
import { plantFor } from './plant-for.js';

const decoder = new TextDecoder('utf-8', { fatal: true });
const dependencies: MonitorDependencies = { textDecoder: (bytes) => decoder.decode(bytes) };
const START_MS = Date.UTC(2026, 0, 5, 6);

/** What really happened in a scenario, what people said of it, and what the service made of what it was told. */
export interface Watched {
  readonly startMs: number;
  readonly states: readonly StateTruth[];
  readonly rolls: readonly FinishedRoll[];
  readonly people: readonly PeopleRecord[];
  readonly effects: readonly Effect[];
}

/** Runs a scenario and folds its messages into the service, with the plant file that its plant would have written. */
export function watchScenario(scenario: Scenario, seed: number, durationS: number): Watched {
  const states: StateTruth[] = [];
  const rolls: FinishedRoll[] = [];
  const service = startedService(plantFor(scenario));
  let parts = NO_PARTS;
  for (const happening of happenings({ scenario, seed, startMs: START_MS, durationS })) {
    if (happening.kind === 'message') {
      service.take(happening);
      continue;
    }
    if (happening.truth.kind === 'state') states.push(happening.truth);
    const gathered = gatherRoll(scenario, parts, happening.truth);
    parts = gathered.parts;
    if (gathered.finished !== null) rolls.push(gathered.finished);
  }
  const people = rolls.flatMap((roll) => peopleSay(scenario.people ?? {}, roll, seed));
  return { startMs: START_MS, states, rolls, people, effects: service.effects };
}

interface Taken {
  readonly atMs: number;
  readonly topic: string;
  readonly payload: string;
  readonly retain: boolean;
}

function startedService(plantFile: string): {
  readonly take: (message: Taken) => void;
  readonly effects: Effect[];
} {
  let monitor = restoreMonitor(new Map(), dependencies);
  const effects: Effect[] = [];
  let position = 0;
  let tickMs = START_MS;
  const fold = (row: object): void => {
    position += 1;
    const step = foldRow(monitor, { ...row, position } as JournalRow, dependencies);
    monitor = step.monitor;
    effects.push(...step.effects);
  };
  fold({ kind: 'config', arrivedAtMs: START_MS, plantFile, revision: 'report' });
  fold({ kind: 'link', arrivedAtMs: START_MS, link: 'broker', state: 'up', sessionPresent: true });
  return {
    effects,
    take: ({ atMs, payload, retain, topic }) => {
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
    },
  };
}
