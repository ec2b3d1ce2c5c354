import type { Message } from './instruments/message.js';
import { topicFor } from './instruments/message.js';
import type { Scenario } from './scenario/scenario-schema.js';
import type { TruthRecord } from './truth/truth-record.js';
import { causesTruth } from './truth/causes-truth.js';
import { beginStation, type StationState } from './winder/station-state.js';
import { stepWebs } from './winder/step-webs.js';
import { stripPlans } from './winder/strip-plan.js';
import { beginWeb, type WebState } from './winder/web.js';
import type { StationModel } from './winder/station-model.js';
import { prepareStation, stepStation } from './winder/step-station.js';

/** A whole run between two sample periods: plain data, so that it can be stored and resumed. */
export interface SimulationState {
  /** Sample periods gone by. */
  readonly periods: number;
  /** True time of the run's begin, epoch ms. A shell that fell behind may set it forward: a gap in the stamps. */
  readonly startMs: number;
  readonly seed: number;
  readonly stations: readonly StationState[];
  /** The webs of winders that have a line, by winder. */
  readonly webs: Readonly<Record<string, WebState>>;
}

export interface SimulationStep {
  readonly state: SimulationState;
  readonly messages: readonly Message[];
  readonly truth: readonly TruthRecord[];
}

/** The stations of a scenario, in the order of the file. */
export function stationModels(scenario: Scenario): readonly StationModel[] {
  return scenario.winders.flatMap((winder) =>
    winder.stations.map((station) => {
      const captures = { winder: winder.id, station: station.id };
      const strips = stripPlans(station, winder.line);
      const wave = (end: string): string => topicFor(scenario.topics.wave, { ...captures, end });
      const nip = (end: string): string => topicFor(scenario.topics.nip, { ...captures, end });
      const grade = scenario.grades[station.grade];
      if (grade === undefined) throw new RangeError(`grade: "${station.grade}" is not among the grades`);
      return {
        winder: winder.id,
        station,
        grade,
        scenario,
        line: winder.line,
        strips,
        topics: {
          drive: topicFor(scenario.topics.drive, captures),
          nip: { tending: nip('tending'), drive: nip('drive') },
          wave: { tending: wave('tending'), drive: wave('drive') },
          setEnd: topicFor(scenario.topics.setEnd, captures),
        },
      };
    }),
  );
}

/**
 * The begin of a run.
 * @param seed whole number, 0 to 4294967295; the same scenario, seed and start give the same bytes
 * @param startMs epoch ms
 */
export function begin(models: readonly StationModel[], seed: number, startMs: number): SimulationState {
  return {
    periods: 0,
    startMs,
    seed,
    stations: models.map((model) => beginStation(model, { seed, startMs })),
    webs: Object.fromEntries(
      models.flatMap(({ winder, line }) =>
        line === undefined ? [] : [[winder, beginWeb(winder, line, seed)] as const],
      ),
    ),
  };
}

/** What is said once, before the first period: the hidden draws, and each station's set end as a retained number in mm. */
export function opening(
  models: readonly StationModel[],
  state: SimulationState,
): Omit<SimulationStep, 'state'> {
  const name = (model: StationModel): string => `${model.winder}/${model.station.id}`;
  const filmBias = Object.fromEntries(
    models.map((model, i) => [name(model), state.stations[i]?.filmBias ?? 1]),
  );
  return {
    messages: models.map((model) => setEndMessage(model, state.startMs)),
    truth: [
      {
        kind: 'run',
        atMs: state.startMs,
        scenario: models[0]?.scenario.name ?? '',
        seed: state.seed,
        filmBias,
        ...causesTruth(models),
      },
    ],
  };
}

/** One sample period of every station. Messages in order of arrival. */
export function step(models: readonly StationModel[], state: SimulationState): SimulationStep {
  const periodS = models[0]?.scenario.samplePeriodS ?? 1;
  const periodMs = Math.round(periodS * 1000);
  const now = { atMs: state.startMs + state.periods * periodMs, atS: (state.periods * periodMs) / 1000 };
  const prepared = models.map((model, i) => prepareStation(model, state.stations[i] as StationState, now));
  const webs = stepWebs(prepared, state.webs, now);
  const steps = prepared.map((one) => stepStation(one, webs[one.model.winder]?.period ?? null, now));
  const setEnds = models.filter((_, i) => startedRoll(state.stations[i], steps[i]?.state));
  const messages = [
    ...setEnds.map((model) => setEndMessage(model, now.atMs + periodMs)),
    ...steps.flatMap((s) => s.messages),
  ];
  return {
    state: {
      ...state,
      periods: state.periods + 1,
      stations: steps.map((s) => s.state),
      webs: Object.fromEntries(Object.entries(webs).map(([winder, web]) => [winder, web.state])),
    },
    messages: messages.sort((a, b) => a.atMs - b.atMs),
    truth: steps.flatMap((s) => s.truth),
  };
}

function startedRoll(before: StationState | undefined, after: StationState | undefined): boolean {
  return before?.roll.number !== after?.roll.number;
}

function setEndMessage({ topics, station }: StationModel, atMs: number): Message {
  return {
    atMs,
    topic: topics.setEnd,
    payload: String(Number((station.setEndDiameterM * 1000).toFixed(3))),
    retain: true,
  };
}
