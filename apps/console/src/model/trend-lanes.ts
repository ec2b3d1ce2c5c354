import type { StationAssessment } from '@edge-margin/monitoring';
import { type DisplayKind, type Quantity, valueOf } from '@edge-margin/units';

/** One line of a trend: where its past comes from, and its present within an assessment. */
export interface TrendLine {
  /** `measurement:field@end`, as the series API takes it. */
  readonly field: string;
  readonly end: 'tending' | 'drive' | null;
  readonly latest: (assessment: StationAssessment) => number | null;
}

export interface TrendLane {
  readonly key: string;
  readonly title: string;
  readonly kind: DisplayKind;
  /** A chance is told as one: `< 1 %`, never 0 %. */
  readonly chance?: true;
  /** The scale never shrinks below this, in SI: a quiet signal looks quiet. */
  readonly atLeast: readonly [number, number] | null;
  readonly lines: readonly TrendLine[];
}

/** What is drawn over time, in this order. To add a trend, add a row. */
export const trendLanes: readonly TrendLane[] = [
  {
    key: 'margin',
    title: 'air in hand',
    kind: 'ratio',
    atLeast: [0, 1],
    lines: [derived('marginRatio', ({ air }) => air.marginRatio)],
  },
  {
    key: 'risk',
    title: 'chance now',
    kind: 'ratio',
    chance: true,
    atLeast: [0, 1],
    lines: [derived('edgeRisk', ({ risk }) => risk.now)],
  },
  { key: 'speed', title: 'speed', kind: 'speed', atLeast: null, lines: [read('speed', 'both')] },
  {
    key: 'nipLoad',
    title: 'nip load',
    kind: 'nipLoad',
    atLeast: null,
    lines: [read('nipLoad', 'tending'), read('nipLoad', 'drive'), read('nipLoad', 'both')],
  },
  {
    key: 'diameter',
    title: 'diameter',
    kind: 'diameter',
    atLeast: null,
    lines: [derived('diameterM', ({ roll }) => roll?.diameterM ?? null)],
  },
];

function derived(field: string, of: (assessment: StationAssessment) => Quantity | null): TrendLine {
  return {
    field: `assessment:${field}`,
    end: null,
    latest: (assessment) => {
      const quantity = of(assessment);
      return quantity === null ? null : (valueOf(quantity) ?? null);
    },
  };
}

/** A reading that is stale or missing has no present value. */
function read(signal: string, end: 'tending' | 'drive' | 'both'): TrendLine {
  return {
    field: `reading:${signal}@${end}`,
    end: end === 'both' ? null : end,
    latest: ({ inputs }) => {
      const input = inputs.find((candidate) => candidate.signal === signal && candidate.end === end);
      return input?.quality === 'good' && typeof input.value === 'number' ? input.value : null;
    },
  };
}
