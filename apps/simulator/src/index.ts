/**
 * A simulated winder with a truth of its own.
 *
 * What it computes: for every station of a scenario the line speed (thread, ramp, run, slow down, set change), the roll
 * growing wrap by wrap on a spiral, tension and nip load with their disturbances, a two-ended nip roller on a one-sided
 * contact (forces and accelerations at each end, 1 ms steps), the air that goes in (a table of our own solutions of the
 * gas-lubrication equations; foil-bearing film without a nip; a hidden bias and hidden exponents on top), the air leaving
 * between the outer wraps while they sink onto each other and slip, and where each wrap's two edges come to lie. Instruments
 * with noise, steps, lag, drift, spells of sticking and silence look at that; gateways stamp, number, lose, double and delay
 * what they say.
 *
 * In: a scenario (YAML, see `scenarios/`; JSON Schema by `--schema`), a seed, a start time. Out: MQTT messages in order of
 * arrival, and the truth: states, bands of radius with their edge roughness, rolls with their boundary. Nothing says at
 * which film an edge is rough: roughness is the rms step between neighbouring wraps.
 *
 * Independence: imports nothing from the libraries whose estimates it judges.
 *
 * Same scenario, seed and start: the same bytes, run after run. Guaranteed for every engine that computes + - x / and
 * square roots as IEEE 754 says and writes numbers as ECMAScript says (every current one): exponentials, logarithms and
 * sines are our own, random numbers are integers first. Seen on Node 20.20, 22.23 and 24.21; a test holds the bytes fixed.
 *
 * Validity, and what is left out so far: films of smooth faces under a wide web that meets the roll in the nip; film taken
 * at the period's mean load (its ripple changes it by less than 10 % until contact is lost); linear contact stiffness; roll
 * radius changes slowly within a period; no slitter section, no unwinding roll, no caliper lanes, no splices, no self-excited
 * lobes, no later bleed-off, no people who grade rolls.
 */
export { type Happening, happenings, type Run } from './run.js';
export {
  begin,
  opening,
  type SimulationState,
  type SimulationStep,
  stationModels,
  step,
} from './simulation.js';
export {
  problemText,
  readScenario,
  type ScenarioProblem,
  type ScenarioReading,
} from './scenario/read-scenario.js';
export { openScenario, type ScenarioOpening } from './shell/open-scenario.js';
export type { Scenario } from './scenario/scenario-schema.js';
export type { Message } from './instruments/message.js';
export type {
  BandTruth,
  Crossing,
  EndValues,
  RollTruth,
  RunTruth,
  StateTruth,
  TruthRecord,
} from './truth/truth-record.js';
