import { type SeriesSample, seriesKey } from '@edge-margin/series';
import { type Reason, reason } from '@edge-margin/units';

/** Where a winder stands: becomes the tags `site`, `area` and `line`. */
export interface PlantTags {
  readonly site: string;
  readonly area: string;
  readonly line: string;
}

/** The place of a station; undefined where the plant no longer has it (its rows are written without these tags). */
export type TagsOf = (winderId: string, stationId: string) => PlantTags | undefined;

export interface EncodedSamples {
  /** Line protocol, precision ms; empty where nothing could be encoded. */
  readonly body: string;
  readonly lineCount: number;
  /** Index of each sample that can never be written, with the reason. */
  readonly refused: readonly { readonly index: number; readonly because: Reason }[];
}

export type LineEncoder = (samples: readonly SeriesSample[]) => EncodedSamples;

/** Names that a field must not have: a tag and a field of one name cannot be told apart in a query. */
const reserved = new Set(['time', 'area', 'end', 'line', 'site', 'station', 'winder']);
const longestTextBytes = 64_000;
/** InfluxDB keeps nanoseconds in 64 bits: the first and last whole ms. */
const farthestMs = 9_223_372_036_854;

/**
 * Makes an encoder for InfluxDB's line protocol. Samples of one measurement, place and time become one line; of several values for one field
 * the last one stands. Lines come in the order of their first sample; tags are sorted by name.
 * Escaping: `, = space` in tags and field names, `" \` in text (documentation, "Line protocol", special characters).
 */
export function createLineEncoder(tagsOf: TagsOf): LineEncoder {
  const heads = new Map<string, { readonly place: string; readonly head: SeriesHead | Reason }>();
  const headOf = (sample: SeriesSample): SeriesHead | Reason => {
    const key = seriesKey(sample);
    const tags = tagsOf(sample.winderId, sample.stationId);
    const place = tags === undefined ? '' : `${tags.site}\n${tags.area}\n${tags.line}`;
    const known = heads.get(key);
    if (known?.place === place) return known.head;
    const head = encodeHead(sample, tags);
    heads.set(key, { place, head });
    return head;
  };
  return (samples) => {
    const lines = new Map<string, Map<string, string>>();
    const refused: { index: number; because: Reason }[] = [];
    samples.forEach((sample, index) => {
      const head = headOf(sample);
      const because = 'code' in head ? head : unwritable(sample);
      if (because !== undefined || 'code' in head) {
        if (because !== undefined) refused.push({ index, because });
        return;
      }
      fieldsAt(lines, `${head.line} `, sample.atMs).set(head.field, encodeValue(sample.value));
    });
    return { body: linesOf(lines), lineCount: lines.size, refused };
  };
}

interface SeriesHead {
  /** Measurement and tags. */
  readonly line: string;
  readonly field: string;
}

function encodeHead(sample: SeriesSample, place: PlantTags | undefined): SeriesHead | Reason {
  const tags: readonly (readonly [name: string, value: string | undefined])[] = [
    ['area', place?.area],
    ['end', sample.end],
    ['line', place?.line],
    ['site', place?.site],
    ['station', sample.stationId],
    ['winder', sample.winderId],
  ];
  const given = tags.filter((tag): tag is readonly [string, string] => tag[1] !== undefined);
  for (const [name, value] of [...given, ['field', sample.field] as const]) {
    const because = unwritableName(name, value);
    if (because !== undefined) return because;
  }
  if (reserved.has(sample.field))
    return reason('replica-field-reserved', `a field cannot be named ${sample.field} in InfluxDB`, {
      field: sample.field,
    });
  const line = [sample.measurement, ...given.map(([name, value]) => `${name}=${escapeName(value)}`)].join(
    ',',
  );
  return { line, field: escapeName(sample.field) };
}

function unwritableName(name: string, text: string): Reason | undefined {
  if (text !== '' && !/[\n\r\u0000]|\\$/.test(text)) return undefined;
  const because = `the ${name} ${JSON.stringify(text)} is empty, holds a line break or ends with a backslash`;
  return reason('replica-name-not-writable', because, { name, text });
}

function unwritable({ atMs, value, field }: SeriesSample): Reason | undefined {
  if (typeof value === 'number' && !Number.isFinite(value)) {
    return reason('replica-not-finite', `${field} is ${value}`, { field, value: String(value) });
  }
  if (
    typeof value === 'string' &&
    value.length * 3 > longestTextBytes &&
    Buffer.byteLength(value) > longestTextBytes
  ) {
    return reason('replica-text-too-long', `${field} has more than ${longestTextBytes} bytes`, {
      field,
      longestTextBytes,
    });
  }
  if (!Number.isSafeInteger(atMs) || Math.abs(atMs) > farthestMs) {
    return reason('replica-time-out-of-range', `${field} is dated ${atMs} ms, which InfluxDB cannot keep`, {
      field,
      atMs,
    });
  }
  return undefined;
}

function escapeName(text: string): string {
  return text.replace(/[,= ]/g, '\\$&');
}

/** Numbers are floats, whole ones too: one integer would fix the field's type for the whole shard. */
function encodeValue(value: number | string): string {
  return typeof value === 'number' ? String(value) : `"${value.replace(/["\\]/g, '\\$&')}"`;
}

function fieldsAt(lines: Map<string, Map<string, string>>, head: string, atMs: number): Map<string, string> {
  const key = `${head}\n${atMs}`;
  const known = lines.get(key);
  if (known !== undefined) return known;
  const fields = new Map<string, string>();
  lines.set(key, fields);
  return fields;
}

function linesOf(lines: ReadonlyMap<string, ReadonlyMap<string, string>>): string {
  let body = '';
  for (const [key, fields] of lines) {
    const end = key.indexOf('\n');
    let text = '';
    for (const [field, value] of fields) text += `${text === '' ? '' : ','}${field}=${value}`;
    body += `${key.slice(0, end)}${text} ${key.slice(end + 1)}\n`;
  }
  return body;
}
