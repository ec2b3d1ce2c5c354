import type { Message } from './instruments/message.js';
import type { Scenario } from './scenario/scenario-schema.js';
import { begin, opening, stationModels, step } from './simulation.js';
import type { TruthRecord } from './truth/truth-record.js';

/** One thing that happened in a run: a message that reached the broker, or what was really so. */
export type Happening =
  | ({ readonly kind: 'message' } & Message)
  | { readonly kind: 'truth'; readonly atMs: number; readonly truth: TruthRecord };

export interface Run {
  readonly scenario: Scenario;
  /** Whole number, 0 to 4294967295. */
  readonly seed: number;
  /** Begin of the run, epoch ms. */
  readonly startMs: number;
  /** How long, s of simulated time. */
  readonly durationS: number;
}

/** A whole run, one happening after the other; messages in order of arrival. Same run, same happenings, byte for byte. */
export function* happenings({
  scenario,
  seed,
  startMs,
  durationS,
}: Run): Generator<Happening, void, undefined> {
  const models = stationModels(scenario);
  let state = begin(models, seed, startMs);
  yield* told(opening(models, state));
  const periods = Math.round(durationS / scenario.samplePeriodS);
  while (state.periods < periods) {
    const next = step(models, state);
    state = next.state;
    yield* told(next);
  }
}

function* told(step: {
  readonly messages: readonly Message[];
  readonly truth: readonly TruthRecord[];
}): Generator<Happening, void, undefined> {
  for (const message of step.messages) yield { kind: 'message', ...message };
  for (const truth of step.truth) yield { kind: 'truth', atMs: truth.atMs, truth };
}
