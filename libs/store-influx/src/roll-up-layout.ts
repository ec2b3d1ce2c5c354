import type { RolledResolution, RollUpRow, SeriesId } from '@edge-margin/series';
import type { LineRow } from './deliver-rows.js';

/** The retention policy that a resolution is kept under. Names are fixed, so that readers of the database know them. */
export const rollUpPolicies: Readonly<Record<RolledResolution, string>> = {
  '10s': 'rollup_10s',
  '1min': 'rollup_1min',
  '1h': 'rollup_1h',
};

/** How long the policies are made to keep, ms; null: without end. */
export type RollUpsKept = Readonly<Record<RolledResolution, number | null>>;

const dayMs = 86_400_000;

/** Where nothing else is said. */
export const defaultRollUpsKeptMs: RollUpsKept = { '10s': 90 * dayMs, '1min': 730 * dayMs, '1h': null };

/** A duration in InfluxQL, in whole hours or days: `36h`, `90d`, `INF`. */
export function influxDuration(keptMs: number | null): string {
  if (keptMs === null) return 'INF';
  const hours = Math.ceil(keptMs / 3_600_000);
  return hours % 24 === 0 ? `${hours / 24}d` : `${hours}h`;
}

/** `reading_10s`, `assessment_1h`, ... */
export function rollUpMeasurement(
  measurement: SeriesId['measurement'],
  resolution: RolledResolution,
): string {
  return `${measurement}_${resolution}`;
}

/** Fields of one series in a roll-up: its own name with what is told of it; `..._at` in ms after the window's start. */
export const rollUpFields = ['min', 'min_at', 'max', 'max_at', 'mean', 'last', 'last_at', 'count'] as const;
export type RollUpField = (typeof rollUpFields)[number];

/** `speed_min`, `speed_count`, ... */
export function rollUpField(field: string, what: RollUpField): string {
  return `${field}_${what}`;
}

export interface RollUpLineRow extends LineRow {
  readonly seq: number;
}

/** A window as the fields of one line at its start. */
export function rollUpLineRows({ seq, resolution, id, window }: RollUpRow): readonly RollUpLineRow[] {
  const { startMs, count, last, numbers } = window;
  const told: readonly (readonly [what: RollUpField, value: number | string])[] = [
    ['count', count],
    ['last', last[1]],
    ['last_at', last[0] - startMs],
    ...(numbers === null
      ? []
      : ([
          ['min', numbers.low[1]],
          ['min_at', numbers.low[0] - startMs],
          ['max', numbers.high[1]],
          ['max_at', numbers.high[0] - startMs],
          ['mean', numbers.mean],
        ] as const)),
  ];
  const measurement = rollUpMeasurement(id.measurement, resolution);
  return told.map(([what, value]) => ({
    seq,
    sample: { ...id, measurement, field: rollUpField(id.field, what), atMs: startMs, value },
  }));
}
