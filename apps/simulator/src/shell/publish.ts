import { setTimeout as wait } from 'node:timers/promises';
import type { Message } from '../instruments/message.js';
import type { Scenario } from '../scenario/scenario-schema.js';
import { begin, opening, type SimulationState, stationModels, step } from '../simulation.js';
import type { Broker } from './broker.js';
import { type Pace, setForwardMs, waitFor } from './pace.js';

export interface PublishedRun {
  readonly scenario: Scenario;
  readonly seed: number;
  /** Stamp of the run's begin; `undefined`: now. */
  readonly startMs: number | undefined;
  readonly durationS: number;
  /** Simulated seconds per second. Above 1 the stamps run ahead of the clock, unless the run starts in the past. */
  readonly speedUp: number;
}

const MOST_UNACKNOWLEDGED = 5000;

/** Publishes a run in its own time until it is over or `stop` is given. */
export async function publish(
  run: PublishedRun,
  broker: Pick<Broker, 'send' | 'unacknowledged'>,
  stop: AbortSignal,
): Promise<void> {
  const models = stationModels(run.scenario);
  const periods = Math.round(run.durationS / run.scenario.samplePeriodS);
  let pace: Pace = { beganMs: Date.now(), periodMs: (run.scenario.samplePeriodS * 1000) / run.speedUp };
  let state = begin(models, run.seed, run.startMs ?? pace.beganMs);
  sendAll(broker, opening(models, state).messages);
  while (state.periods < periods) {
    await waitFor(pace, state.periods, stop);
    await roomAt(broker, stop);
    if (isGiven(stop)) return;
    const forwardMs = setForwardMs(pace, state.periods, Date.now());
    pace = { ...pace, beganMs: pace.beganMs + forwardMs };
    if (run.speedUp === 1) state = setForward(state, forwardMs);
    const next = step(models, state);
    state = next.state;
    sendAll(broker, next.messages);
  }
}

/** A real-time run keeps its stamps at the clock: what was slept through is a gap. */
function setForward(state: SimulationState, byMs: number): SimulationState {
  return byMs === 0 ? state : { ...state, startMs: state.startMs + byMs };
}

/** Asked anew each time: the compiler takes a signal once looked at for unchanging. */
function isGiven(stop: AbortSignal): boolean {
  return stop.aborted;
}

function sendAll(broker: Pick<Broker, 'send'>, messages: readonly Message[]): void {
  for (const message of messages) broker.send(message);
}

async function roomAt(broker: Pick<Broker, 'unacknowledged'>, stop: AbortSignal): Promise<void> {
  while (broker.unacknowledged() > MOST_UNACKNOWLEDGED && !isGiven(stop)) {
    await wait(20, undefined, { signal: stop }).catch(() => undefined);
  }
}
