import type { RiskAtDiameter } from '@edge-margin/monitoring';
import { type Stretch, highestWithin, interpolated, stretches } from './risk-profile.js';
import { tintStep, tintSteps } from './tint.js';

/** What the gauge along the roll's radius shows; diameters in m. */
export interface GaugeData {
  readonly coreM: number;
  /** Last known diameter. */
  readonly nowM: number;
  /** False where `nowM` is not the present: no upright for now, no outlook, hatched from there on. */
  readonly live: boolean;
  readonly setEndM: number | null;
  readonly wound: readonly RiskAtDiameter[];
  readonly ahead: readonly RiskAtDiameter[];
  readonly after: readonly RiskAtDiameter[];
  readonly boundary: {
    readonly earliestM: number;
    readonly expectedM: number;
    readonly latestM: number | null;
  } | null;
  /** Diameter by which to act. */
  readonly byM: number | null;
  /** Diameter at the right end of the scale. */
  readonly fullM: number;
}

/**
 * Where the gauge is drawn, in pixels. The roll's centre line stands at `left`, `fullM` at `width - right`; a negative `left` cuts off the inner
 * part of a wide bore.
 */
export interface GaugeBox {
  readonly width: number;
  readonly left: number;
  readonly right: number;
  /** Top of the plot (chance 1), height of the plot, and height of the body strip below it. */
  readonly top: number;
  readonly plot: number;
  readonly body: number;
  /** Width of one column. */
  readonly column: number;
}

export interface Rect {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface GaugeShapes {
  readonly zeroY: number;
  readonly frame: Rect;
  /** The frame's bed, filled only as far as wound. */
  readonly bed: Rect;
  readonly coreWall: Rect;
  readonly woundBody: Rect;
  readonly aheadBody: Rect | null;
  /** One path a tint: what is solid is wound. */
  readonly tints: readonly { readonly step: number; readonly path: string }[];
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

/** Share of the core's diameter that is bore; the rest is the tube's wall, drawn no wider than a share of the whole scale. */
const boreShare = 0.86;
const widestWall = 0.02;
/** Silhouettes are drawn no lighter than this step, so that low heights stay visible. */
const faintestSilhouette = Math.round(0.25 * tintSteps);

/** Inner diameter of the core as it is drawn. */
export function boreDiameter({ coreM, fullM }: Pick<GaugeData, 'coreM' | 'fullM'>): number {
  return Math.max(boreShare * coreM, coreM - widestWall * fullM);
}

/** Where the centre line has to stand so that `bore` comes to stand at `x`. */
export function leftFor(x: number, bore: number, fullM: number, width: number, right: number): number {
  const share = bore / fullM;
  return (x - (width - right) * share) / (1 - share);
}

export function scaleX(data: Pick<GaugeData, 'fullM'>, box: GaugeBox): (diameterM: number) => number {
  const perM = (box.width - box.left - box.right) / data.fullM;
  return (diameterM) => round(box.left + Math.min(Math.max(diameterM, 0), data.fullM) * perM);
}

export function gaugeShapes(data: GaugeData, box: GaugeBox): GaugeShapes {
  const x = scaleX(data, box);
  const zeroY = box.top + box.plot;
  const endM = Math.max(data.setEndM ?? data.fullM, data.nowM);
  const between = (fromM: number, toM: number, y: number, height: number): Rect => ({
    x: x(fromM),
    y,
    width: Math.max(0, round(x(toM) - x(fromM))),
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

type X = (diameterM: number) => number;

/** Columns of the silhouette above zero and of the body below it, gathered by tint. */
function woundTints(wound: readonly Stretch[], x: X, box: GaugeBox): GaugeShapes['tints'] {
  const paths = new Map<number, string>();
  const add = (step: number, path: string) => paths.set(step, (paths.get(step) ?? '') + path);
  for (const stretch of wound) {
    for (const column of columns(stretch, x, box.column)) {
      const step = tintStep(column.risk);
      const height = round(column.risk * box.plot);
      const zero = box.top + box.plot;
      if (height > 0)
        add(Math.max(step, faintestSilhouette), bar(column.x, zero - height, column.width, height));
      add(step, bar(column.x, zero, column.width, box.body));
    }
  }
  return [...paths].sort(([a], [b]) => a - b).map(([step, path]) => ({ step, path }));
}

interface Column {
  readonly x: number;
  readonly width: number;
  readonly risk: number;
}

/** One column a few pixels wide with the highest chance within it; columns overlap a little, so that no seam shows. */
function columns(stretch: Stretch, x: X, width: number): readonly Column[] {
  const first = stretch[0]?.diameterM ?? 0;
  const last = stretch.at(-1)?.diameterM ?? 0;
  const count = Math.max(1, Math.ceil((x(last) - x(first)) / width));
  const stepM = (last - first) / count;
  return Array.from({ length: count }, (_, at) => {
    const fromM = first + at * stepM;
    const seam = at === count - 1 ? 0 : 0.6;
    return {
      x: x(fromM),
      width: round(x(fromM + stepM) - x(fromM) + seam),
      risk: highestWithin(stretch, fromM, fromM + stepM) ?? 0,
    };
  });
}

function bar(x: number, y: number, width: number, height: number): string {
  return `M${x} ${round(y)}h${width}v${height}h${-width}z`;
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
  return round(box.top + box.plot - risk * box.plot);
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

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
