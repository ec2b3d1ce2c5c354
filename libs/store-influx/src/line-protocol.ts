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

/** A sample of any measurement: roll-ups have their own. */
export type LineSample = Omit<SeriesSample, 'measurement'> & { readonly measurement: string };

/** `keys`: `seriesKey` of each sample, where they are known. */
export type LineEncoder = (
  samples: readonly LineSample[],
  keys?: readonly (string | undefined)[],
) => EncodedSamples;

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
  const heads = new Map<
    string,
    { readonly tags: PlantTags | undefined; readonly head: SeriesHead | Reason }
  >();
  const headOf = (sample: LineSample, key: string): SeriesHead | Reason => {
    const tags = tagsOf(sample.winderId, sample.stationId);
    const known = heads.get(key);
    if (known !== undefined && samePlace(known.tags, tags)) return known.head;
    const head = encodeHead(sample, tags);
    heads.set(key, { tags, head });
    return head;
  };
  return (samples, keys = []) => {
    const lines = new Lines();
    const refused: { index: number; because: Reason }[] = [];
    samples.forEach((sample, index) => {
      const head = headOf(sample, keys[index] ?? seriesKey(sample));
      const because = 'code' in head ? head : unwritable(sample);
      if (because !== undefined || 'code' in head) {
        if (because !== undefined) refused.push({ index, because });
        return;
      }
      lines.fieldsAt(head.line, sample.atMs).set(head.field, encodeValue(sample.value));
    });
    return { body: lines.text(), lineCount: lines.count(), refused };
  };
}

function samePlace(a: PlantTags | undefined, b: PlantTags | undefined): boolean {
  return (
    a === b ||
    (a !== undefined && b !== undefined && a.site === b.site && a.area === b.area && a.line === b.line)
  );
}

interface SeriesHead {
  /** Measurement and tags. */
  readonly line: string;
  readonly field: string;
}

function encodeHead(sample: LineSample, place: PlantTags | undefined): SeriesHead | Reason {
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

function unwritable({ atMs, value, field }: LineSample): Reason | undefined {
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

interface Line {
  readonly head: string;
  readonly atMs: number;
  readonly fields: Map<string, string>;
}

/** Lines in the order of their first sample, found again by measurement, place and time. */
class Lines {
  readonly #inOrder: Line[] = [];
  readonly #byHead = new Map<string, Map<number, Line>>();

  fieldsAt(head: string, atMs: number): Map<string, string> {
    let ofHead = this.#byHead.get(head);
    if (ofHead === undefined) this.#byHead.set(head, (ofHead = new Map<number, Line>()));
    let line = ofHead.get(atMs);
    if (line === undefined) {
      line = { head, atMs, fields: new Map() };
      ofHead.set(atMs, line);
      this.#inOrder.push(line);
    }
    return line.fields;
  }

  count(): number {
    return this.#inOrder.length;
  }

  text(): string {
    let body = '';
    for (const { head, atMs, fields } of this.#inOrder) {
      body += head;
      let separator = ' ';
      for (const [field, value] of fields) {
        body += `${separator}${field}=${value}`;
        separator = ',';
      }
      body += ` ${atMs}\n`;
    }
    return body;
  }
}
