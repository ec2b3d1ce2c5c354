import type { End, SignalMapping, SignalName, Source, SourceTime, StationContext } from '@edge-margin/plant';
import type { Reason } from '@edge-margin/units';
import type { JsonPointer } from './json-pointer.js';
import type { TopicTree } from './topic-tree.js';

/** Decodes UTF-8 strictly: throws on bytes that are not UTF-8. */
export type TextDecode = (bytes: Uint8Array) => string;

/** The plant's sources made ready for decoding. Derived from the plant file, never stored. */
export interface CompiledSources {
  readonly textDecoder: TextDecode;
  readonly tree: TopicTree<CompiledSource>;
  readonly stations: ReadonlyMap<string, StationContext>;
  /** Topics resolved so far: derived data that saves time and changes no result. */
  readonly resolved: Map<string, ResolvedTopic>;
}

export interface CompiledSource {
  readonly payload: Source['payload'];
  /** Places of the captures among the topic's levels; -1 where there is none. */
  readonly captures: Readonly<Record<'winder' | 'station' | 'end', number>>;
  readonly winder: string | undefined;
  readonly station: string | undefined;
  /** Each time that stands somewhere in the message, once. */
  readonly times: readonly CompiledTime[];
  readonly sequence: JsonPointer | undefined;
  readonly signals: readonly CompiledSignal[];
}

export type CompiledTime =
  'arrival' | { readonly pointer: JsonPointer; readonly format: Exclude<SourceTime, string>['format'] };

export interface CompiledSignal {
  readonly mapping: SignalMapping;
  readonly signal: SignalName;
  readonly value: 'number' | 'text';
  readonly pointer: JsonPointer;
  /** UCUM code of the unit in the payload; empty for text. */
  readonly unit: string;
  /** UCUM code of the SI unit. */
  readonly siUnit: string;
  /** Index into the source's `times`. */
  readonly time: number;
}

/** What a topic means: the signals in its messages and where each belongs, or why nothing can be made of it. */
export type ResolvedTopic =
  | {
      readonly ok: true;
      readonly sources: readonly ResolvedSource[];
      /** The source whose sequence numbers count: the first that has any. */
      readonly numbered: ResolvedSource | undefined;
    }
  | { readonly ok: false; readonly because: Reason };

export interface ResolvedSource {
  readonly source: CompiledSource;
  readonly signals: readonly ResolvedSignal[];
}

export interface ResolvedSignal {
  readonly compiled: CompiledSignal;
  readonly stationKey: string;
  readonly end: End;
  /** Width by which a total is divided, m; 1 where the value is no total. */
  readonly perWidthM: number;
}
