/**
 * The plant file: winders, stations, machine elements, product grades, signals and limits, as one YAML document.
 *
 * In: the text of the file. Out: the typed plant, or every problem with line, column, path, value and what is expected.
 */
export { type End, type SignalName, signalKinds, signalNames } from './signal-kinds.js';
export {
  type Grade,
  type Limits,
  type Nip,
  type PlantFile,
  type SignalMapping,
  type Source,
  type SourceTime,
  type Station,
  type Winder,
  plantSchema,
} from './schema.js';
export { type StationContext, stationIndex } from './station-index.js';
