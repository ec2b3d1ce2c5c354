import type { Message } from './instruments/message.js';
import type { Scenario } from './scenario/scenario-schema.js';
import { begin, opening, stationModels, step } from './simulation.js';
import type { TruthRecord } from './truth/truth-record.js';
import { type Reaction, withReactions } from './reactions.js';

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
  /**
   * A crew that reads along: called after every sample period with what has just been told and measured; what it asks for is
   * done from the next period on, undone at the set change, and refused as often as the station's shifts say.
   */
  readonly react?: (heard: Heard) => readonly Reaction[];
}

/** What a crew hears: the messages that have just arrived. It is not told the truth. */
export interface Heard {
  readonly atMs: number;
  readonly messages: readonly Message[];
}

/** A whole run, one happening after the other; messages in order of arrival. Same run, same happenings, byte for byte. */
export function* happenings({
  scenario,
  seed,
  startMs,
  durationS,
  react,
}: Run): Generator<Happening, void, undefined> {
  const models = stationModels(scenario);
  let state = begin(models, seed, startMs);
  yield* told(opening(models, state));
  const periods = Math.round(durationS / scenario.samplePeriodS);
  while (state.periods < periods) {
    const next = step(models, state);
    yield* told(next);
    const atMs = next.state.startMs + next.state.periods * Math.round(scenario.samplePeriodS * 1000);
    const asked = react?.({ atMs, messages: next.messages }) ?? [];
    state = asked.length === 0 ? next.state : withReactions(models, next.state, asked);
  }
}

function* told(step: {
  readonly messages: readonly Message[];
  readonly truth: readonly TruthRecord[];
}): Generator<Happening, void, undefined> {
  for (const message of step.messages) yield { kind: 'message', ...message };
  for (const truth of step.truth) yield { kind: 'truth', atMs: truth.atMs, truth };
}
