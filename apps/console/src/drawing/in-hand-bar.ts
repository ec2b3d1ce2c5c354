/** A share in hand with its standard uncertainty, drawn from a common zero. */
export interface InHandBar {
  /** Solid bar, as shares of the scale. */
  readonly from: number;
  readonly to: number;
  /** Open box: value plus and minus its standard uncertainty. */
  readonly boxFrom: number;
  readonly boxTo: number;
  /** The value lies beyond the drawing on that side; the number beside it is the true one. */
  readonly beyond: 'left' | 'right' | null;
}

/** The scale runs from half used up to all in hand. */
export const inHandScale = { from: -0.5, to: 1 } as const;

export function inHandBar(value: number, uncertainty: number): InHandBar | null {
  if (Number.isNaN(value)) return null;
  const spread = Number.isFinite(uncertainty) ? Math.max(0, uncertainty) : 0;
  const drawn = clamp(value);
  return {
    from: Math.min(0, drawn),
    to: Math.max(0, drawn),
    boxFrom: clamp(value - spread),
    boxTo: clamp(value + spread),
    beyond: value < inHandScale.from ? 'left' : value > inHandScale.to ? 'right' : null,
  };
}

function clamp(share: number): number {
  return Math.min(inHandScale.to, Math.max(inHandScale.from, share));
}
