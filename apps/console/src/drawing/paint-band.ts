import { bandParts, type TrendBand } from './trend-band.js';

/** Where a band is painted, and in what. */
export interface BandCanvas {
  readonly context: CanvasRenderingContext2D;
  /** The bed of the drawing, in pixels of the canvas. */
  readonly bed: {
    readonly left: number;
    readonly top: number;
    readonly width: number;
    readonly height: number;
  };
  readonly xOf: (atMs: number) => number;
  readonly yOf: (value: number) => number;
  readonly fill: string;
  readonly line: string;
  readonly lineWidth: number;
}

/** Paints a band: what has ended filled and outlined, what is still coming in as an outline only. */
export function paintBand(band: TrendBand, nowMs: number, canvas: BandCanvas): void {
  const { context, bed } = canvas;
  const { ended, open } = bandParts(band, nowMs);
  context.save();
  context.beginPath();
  context.rect(bed.left, bed.top, bed.width, bed.height);
  context.clip();
  context.fillStyle = canvas.fill;
  context.strokeStyle = canvas.line;
  context.lineWidth = canvas.lineWidth;
  for (const windows of ended) {
    const outline = outlineOf(windows, band.windowMs, canvas);
    context.fill(outline);
    context.stroke(outline);
  }
  context.setLineDash([4 * canvas.lineWidth, 3 * canvas.lineWidth]);
  for (const window of open) context.stroke(outlineOf([window], band.windowMs, canvas));
  context.restore();
}

/** Along the highest values and back along the lowest; never thinner than a pixel on each side. */
function outlineOf(windows: TrendBand['windows'], windowMs: number, { xOf, yOf }: BandCanvas): Path2D {
  const outline = new Path2D();
  const corners = (pick: (low: number, high: number) => number) =>
    windows.flatMap(([startMs, low, high]) => {
      const y = pick(yOf(low) + 1, yOf(high) - 1);
      return [[xOf(startMs), y] as const, [xOf(startMs + windowMs), y] as const];
    });
  const along = [...corners((_low, high) => high), ...corners((low) => low).reverse()];
  along.forEach(([x, y], at) => (at === 0 ? outline.moveTo(x, y) : outline.lineTo(x, y)));
  outline.closePath();
  return outline;
}
