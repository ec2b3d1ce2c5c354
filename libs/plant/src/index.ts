/**
 * The plant file: winders, stations, machine elements, product grades, signals and limits, as one YAML document.
 *
 * In: the text of the file ({@link readPlant}). Out: the typed plant, or every problem with line, column, path, value and what is expected
 * (in words, with unit and range); and warnings of what is merely suspicious. Whatever the text, the answer is data, never an exception.
 * {@link plantJsonSchema} describes the same file to editors and other programs.
 *
 * Hierarchy: site, area, line, winder, station (after the equipment model of ISA-95 / IEC 62264-1, where a line is a work centre and a winder
 * a work unit). SI throughout; the unit stands in the key (`caliperM`, `coverModulusPa`). Units in payloads are UCUM codes.
 * Validity: what the schema's ranges allow; they are wide enough for paper, film, foil and tissue winders. The bounds behind the warnings are
 * common practice and stand, with that remark, beside each check.
 */
export { type End, type SignalName, signalKinds, signalNames } from './signal-kinds.js';
export type { Air } from './air-schema.js';
export type { Grade } from './grade-schema.js';
export type { Limits } from './limits-schema.js';
export type { Nip } from './nip-schema.js';
export { type PlantFile, plantSchema } from './schema.js';
export type { SignalMapping, Source, SourceTime } from './source-schema.js';
export type { Station, Winder } from './winder-schema.js';
export { type StationContext, stationIndex } from './station-index.js';
export type { PlantProblem } from './problem.js';
export { type PlantReading, readPlant } from './read-plant.js';
export { type JsonSchema, plantJsonSchema } from './json-schema.js';
export { type TopicLevel, parseTopic } from './topic-pattern.js';
