import { z } from 'zod';
import type { Path } from './problem.js';
import { type Grade, gradeSchema } from './grade-schema.js';
import { type Limits, limitsSchema } from './limits-schema.js';
import { idSchema } from './schema-figures.js';
import { type SignalMapping, type SourceTime, signalMappingSchema, sourceSchema } from './source-schema.js';
import { type Station, type Winder, stationSchema, winderSchema } from './winder-schema.js';

/**
 * The content of a plant file as far as it can be understood, part by part: a fault in one winder does not keep the others from being checked.
 * A part that departs from the schema has its path and, where it has one, its id.
 */
export interface PlantParts {
  readonly areas: readonly IdPart[];
  readonly lines: readonly IdPart[];
  readonly winders: readonly WinderPart[];
  readonly stations: readonly StationPart[];
  readonly grades: readonly GradePart[];
  readonly sources: readonly SourcePart[];
  readonly mappings: readonly MappingPart[];
  readonly limits: Limits | undefined;
}

/** Something with an id, which is undefined where it is missing or malformed. */
export interface IdPart {
  readonly path: Path;
  readonly id: string | undefined;
}
export interface WinderPart extends IdPart {
  readonly machine: Winder['limits'] | undefined;
}
export interface StationPart extends IdPart {
  readonly winder: WinderPart;
  readonly station: Station | undefined;
}
export interface GradePart extends IdPart {
  readonly grade: Grade | undefined;
}
export interface SourcePart {
  readonly path: Path;
  /** All of the source but its signals. */
  readonly source: SourceHead | undefined;
}
export interface MappingPart {
  readonly path: Path;
  readonly from: SourcePart;
  readonly mapping: SignalMapping | undefined;
}
export interface SourceHead {
  readonly topic: string;
  readonly payload: 'json' | 'plain';
  readonly time: SourceTime;
  readonly sequence?: string | undefined;
  readonly winder?: string | undefined;
  readonly station?: string | undefined;
}

// Keys that are not known are reported by the schema; here they do not hide the rest of their map.
const gradeKeys = z.object(gradeSchema.shape);
const stationKeys = z.object(stationSchema.shape);
const mappingKeys = z.object(signalMappingSchema.shape);
const sourceKeys = z.object(sourceSchema.shape).omit({ signals: true });

/** Takes the content of a plant file apart. */
export function plantParts(content: unknown): PlantParts {
  const areas = entries(content, [], 'areas');
  const lines = areas.flatMap(({ path, value }) => entries(value, path, 'lines'));
  const winders = lines
    .flatMap(({ path, value }) => entries(value, path, 'winders'))
    .map(({ path, value }) => ({
      value,
      part: {
        ...idPart({ path, value }),
        machine: parsed(winderSchema.shape.limits, field(value, 'limits')),
      },
    }));
  const sources = entries(content, [], 'sources').map(({ path, value }) => ({
    value,
    part: { path, source: parsed(sourceKeys, value) },
  }));
  return {
    areas: areas.map(idPart),
    lines: lines.map(idPart),
    winders: winders.map(({ part }) => part),
    stations: winders.flatMap(({ part, value: winder }) =>
      entries(winder, part.path, 'stations').map((entry) => ({
        ...idPart(entry),
        winder: part,
        station: parsed(stationKeys, entry.value),
      })),
    ),
    grades: entries(content, [], 'grades').map((entry) => ({
      ...idPart(entry),
      grade: parsed(gradeKeys, entry.value),
    })),
    sources: sources.map(({ part }) => part),
    mappings: sources.flatMap(({ part, value }) =>
      entries(value, part.path, 'signals').map((entry) => ({
        path: entry.path,
        from: part,
        mapping: parsed(mappingKeys, entry.value),
      })),
    ),
    limits: parsed(limitsSchema, field(content, 'limits') ?? {}),
  };
}

interface Entry {
  readonly path: Path;
  readonly value: unknown;
}

/** The entries of the list under a key, none where there is no list. */
function entries(around: unknown, path: Path, key: string): readonly Entry[] {
  const list = field(around, key);
  return Array.isArray(list)
    ? list.map((value: unknown, index) => ({ path: [...path, key, index], value }))
    : [];
}

function idPart({ path, value }: Entry): IdPart {
  return { path, id: parsed(idSchema, field(value, 'id')) };
}

function field(value: unknown, key: string): unknown {
  return typeof value === 'object' && value !== null && Object.hasOwn(value, key)
    ? (value as Readonly<Record<string, unknown>>)[key]
    : undefined;
}

function parsed<T>(schema: z.ZodType<T>, value: unknown): T | undefined {
  return schema.safeParse(value).data;
}
