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
 * A winder may have a line: one web at one speed from an unwinding roll (out of round, shrinking) over idlers and a guide
 * through a slitter (run-out, overspeed, wear of each knife) to the rolls of all its stations, which lie side by side on a
 * shaft with end play; with caliper lanes, splices, stops and web breaks. Left out of a scenario, each of these is absent.
 *
 * Every wrap of every roll is laid and counted; where `truth.edgesEveryWraps` is n, the truth tells both edges of every n-th
 * one (at one place of the face). Rings are never put in: they are where a cause comes round in step with the roll.
 *
 * Validity, and what is left out: films of smooth faces under a wide web that meets the roll in the nip; film taken at the
 * period's mean load (its ripple changes it by less than 10 % until contact is lost); linear contact stiffness; roll radius
 * changes slowly within a period; rolls of one station turn together, their length differs by their radius; a grade change
 * counts for the outer wraps too; bearing, gear and structure lines are seen by accelerometers only and do not move the
 * roller; the web between slitter and roll has no dynamics of its own.
 */
export { type Happening, happenings, type Heard, type Run } from './run.js';
export { type Reaction, withReactions } from './reactions.js';
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
export { drawScenario, type Family, type FamilyReading, readFamily } from './families/draw-scenario.js';
export { openScenario, type ScenarioOpening } from './shell/open-scenario.js';
export type { FinishedRoll } from './people/finished-roll.js';
export { gatherRoll, NO_PARTS, type PartsSoFar } from './people/finished-rolls.js';
export { peopleSay } from './people/people-say.js';
export type { PeopleRecord } from './people/people-record.js';
export { drawRoll } from './picture/draw-roll.js';
export type { RollEdges } from './picture/roll-edges.js';
export { rollEdgesOf } from './picture/roll-edges-of.js';
export type { Scenario } from './scenario/scenario-schema.js';
export type { Message } from './instruments/message.js';
export type {
  BandTruth,
  Cause,
  Crossing,
  EdgesTruth,
  EndValues,
  Ring,
  RollEvent,
  RollTruth,
  RunTruth,
  StateTruth,
  TruthRecord,
} from './truth/truth-record.js';
