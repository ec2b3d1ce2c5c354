import type { RiskAtDiameter } from '@edge-margin/monitoring';
import {
  type GaugeBox,
  type GaugeData,
  type Rect,
  type X,
  boreDiameter,
  scaleX,
  tenth,
} from './gauge-scale.js';
import { type Stretch, interpolated, stretches } from './risk-profile.js';
import { type TintPath, woundTints } from './wound-tints.js';

export interface GaugeShapes {
  readonly zeroY: number;
  readonly frame: Rect;
  /** The frame's bed, filled only as far as wound. */
  readonly bed: Rect;
  readonly coreWall: Rect;
  readonly woundBody: Rect;
  readonly aheadBody: Rect | null;
  /** One path a tint: what is solid is wound. */
  readonly tints: readonly TintPath[];
  readonly woundLine: string;
  /** Wound, but nothing is known of it. */
  readonly unknown: readonly Rect[];
  readonly aheadLine: string;
  readonly afterLine: string;
  readonly band: Rect | null;
  readonly marks: readonly { readonly kind: 'earliest' | 'expected' | 'latest'; readonly x: number }[];
  readonly nowX: number | null;
  readonly endX: number | null;
  readonly byX: number | null;
  /** Stale, or no data: from the last known diameter on. */
  readonly hatched: Rect | null;
}

export function gaugeShapes(data: GaugeData, box: GaugeBox): GaugeShapes {
  const x = scaleX(data, box);
  const zeroY = box.top + box.plot;
  const endM = Math.max(data.setEndM ?? data.fullM, data.nowM);
  const between = (fromM: number, toM: number, y: number, height: number): Rect => ({
    x: x(fromM),
    y,
    width: Math.max(0, tenth(x(toM) - x(fromM))),
    height,
  });
  const whole = box.plot + box.body;
  const wound = stretches(data.wound, data.coreM, data.nowM, data.fullM);
  return {
    zeroY,
    frame: between(data.coreM, endM, box.top, whole),
    bed: between(data.coreM, data.nowM, box.top, box.plot),
    coreWall: between(boreDiameter(data), data.coreM, box.top, whole),
    woundBody: between(data.coreM, data.nowM, zeroY, box.body),
    aheadBody: data.live && endM > data.nowM ? between(data.nowM, endM, zeroY, box.body) : null,
    tints: woundTints(wound, x, box),
    woundLine: wound.map((stretch) => line(stretch, x, box)).join(''),
    unknown: gaps(wound, data.coreM, data.nowM).map(([fromM, toM]) => between(fromM, toM, zeroY, box.body)),
    aheadLine: data.live ? outlook(data.ahead, data, x, box) : '',
    afterLine: data.live ? outlook(data.after, { ...data, nowM: data.byM ?? data.nowM }, x, box, false) : '',
    ...boundaryShapes(data, endM, between, x, box.top, whole),
    nowX: data.live ? x(data.nowM) : null,
    endX: data.setEndM === null ? null : x(data.setEndM),
    byX: data.live && data.byM !== null ? x(data.byM) : null,
    hatched: data.live ? null : between(data.nowM, endM, box.top, whole),
  };
}

function line(stretch: Stretch, x: X, box: GaugeBox): string {
  return stretch
    .map((point, at) => `${at === 0 ? 'M' : 'L'}${x(point.diameterM)} ${height(point.risk, box)}`)
    .join('');
}

/** The outlook from now to the end; closed down to zero where it is the outline of what is not yet wound. */
function outlook(
  points: readonly RiskAtDiameter[],
  data: GaugeData,
  x: X,
  box: GaugeBox,
  closed = true,
): string {
  const [stretch] = stretches(points, data.nowM, data.setEndM ?? data.fullM, data.fullM);
  if (stretch === undefined) return '';
  return line(stretch, x, box) + (closed ? `V${box.top + box.plot}` : '');
}

function height(risk: number, box: GaugeBox): number {
  return tenth(box.top + box.plot - risk * box.plot);
}

/** Stretches of the wound roll of which nothing is known. */
function gaps(
  wound: readonly Stretch[],
  coreM: number,
  nowM: number,
): readonly (readonly [number, number])[] {
  const ends = wound.flatMap((stretch) => [
    stretch[0]?.diameterM ?? coreM,
    stretch.at(-1)?.diameterM ?? coreM,
  ]);
  const edges = [coreM, ...ends, nowM];
  const pairs = Array.from(
    { length: edges.length / 2 },
    (_, at) => [edges[2 * at] ?? 0, edges[2 * at + 1] ?? 0] as const,
  );
  return pairs.filter(([fromM, toM]) => toM - fromM > 1e-6);
}

type Between = (fromM: number, toM: number, y: number, height: number) => Rect;

function boundaryShapes(
  data: GaugeData,
  endM: number,
  between: Between,
  x: X,
  top: number,
  whole: number,
): Pick<GaugeShapes, 'band' | 'marks'> {
  if (data.boundary === null || !data.live) return { band: null, marks: [] };
  const { earliestM, expectedM, latestM } = data.boundary;
  const marks = [
    { kind: 'earliest', at: earliestM },
    { kind: 'expected', at: expectedM },
    { kind: 'latest', at: latestM },
  ] as const;
  return {
    band: between(earliestM, Math.min(latestM ?? endM, endM), top, whole),
    marks: marks.flatMap(({ kind, at }) =>
      at === null || at > endM || !Number.isFinite(at) ? [] : [{ kind, x: x(at) }],
    ),
  };
}

/** Chance at the end of the set in an outlook, or null where it does not reach that far. */
export function chanceAtEnd(points: readonly RiskAtDiameter[], data: GaugeData): number | null {
  const endM = data.setEndM;
  if (endM === null || !data.live) return null;
  const stretch = stretches(points, data.nowM, endM, data.fullM).at(-1);
  const last = stretch?.at(-1);
  return stretch === undefined || last === undefined || last.diameterM < endM
    ? null
    : interpolated(stretch, endM);
}
