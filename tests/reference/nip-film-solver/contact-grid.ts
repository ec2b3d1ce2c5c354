/** Nodes of the contact in units of the Hertz half-width, and what depends on them alone. */
export interface ContactGrid {
  readonly nodes: Float64Array;
  readonly midpoints: Float64Array;
  readonly widths: Float64Array;
  /** Film change at midpoint i by a unit pressure at node j (hat function), row by row: -1/pi int ln|X - S| dS. */
  readonly deflection: Float64Array;
}

export interface GridExtent {
  readonly nodeCount: number;
  readonly inletX: number;
  readonly outletX: number;
  /** Distance over which pressure and film change at the two ends of the contact. */
  readonly edgeLength: number;
}

/**
 * Extent that suits a lambda: both edge regions of the contact have the length lambda^(2/5) (similarity of
 * lubricated Hertzian contacts, Snoeijer, Eggers & Venner 2013); thick films feel pressure further out. Far nodes
 * are few, so that a wide extent costs little: half of it moves the kept film by less than 0.1 %.
 */
export const extentFor = (lambda: number, nodeCount: number): GridExtent => {
  const reach = Math.max(1, 2 * lambda ** 0.3);
  return {
    nodeCount,
    inletX: -1 - 23 * reach,
    outletX: 1 + 11 * reach,
    edgeLength: Math.min(0.5 * reach, lambda ** 0.4),
  };
};

/** Grid with nodes drawn together at X = -1 and X = +1 and thinned out away from the contact. */
export const contactGrid = (extent: GridExtent): ContactGrid => {
  const nodes = nodesByDensity(extent);
  const count = nodes.length - 1;
  const midpoints = Float64Array.from({ length: count }, (_, i) => (nodes[i]! + nodes[i + 1]!) / 2);
  const widths = Float64Array.from({ length: count }, (_, i) => nodes[i + 1]! - nodes[i]!);
  return { nodes, midpoints, widths, deflection: deflectionMatrix(nodes, midpoints) };
};

const nodesByDensity = ({ nodeCount, inletX, outletX, edgeLength }: GridExtent): Float64Array => {
  const share = (x: number): number =>
    x - overshoot(x) + 1.2 * (Math.atan((x + 1) / edgeLength) + Math.atan((x - 1) / edgeLength));
  const first = share(inletX);
  const step = (share(outletX) - first) / (nodeCount - 1);
  return Float64Array.from({ length: nodeCount }, (_, i) => {
    if (i === 0) return inletX;
    if (i === nodeCount - 1) return outletX;
    return bisect(share, first + i * step, inletX, outletX);
  });
};

/** Beyond |X| = 1.5 the spacing grows in proportion to the distance: density 1/(1 + |X| - 1.5). */
const overshoot = (x: number): number => {
  const beyond = Math.abs(x) - 1.5;
  return beyond <= 0 ? 0 : Math.sign(x) * (beyond - Math.log1p(beyond));
};

const bisect = (increasing: (x: number) => number, target: number, from: number, to: number): number => {
  let low = from;
  let high = to;
  for (let turn = 0; turn < 60; turn++) {
    const middle = (low + high) / 2;
    if (increasing(middle) < target) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
};

const deflectionMatrix = (nodes: Float64Array, midpoints: Float64Array): Float64Array => {
  const n = nodes.length;
  const matrix = new Float64Array(midpoints.length * n);
  for (let i = 0; i < midpoints.length; i++) {
    for (let j = 0; j + 1 < n; j++) {
      const [left, right] = logMoments(nodes[j]! - midpoints[i]!, nodes[j + 1]! - midpoints[i]!);
      matrix[i * n + j]! -= left / Math.PI;
      matrix[i * n + j + 1]! -= right / Math.PI;
    }
  }
  return matrix;
};

const gaussAbscissa = Math.sqrt(0.6);

/** int ln|t| (t1 - t)/(t1 - t0) dt and int ln|t| (t - t0)/(t1 - t0) dt over [t0, t1]: exact; by Gauss where far. */
const logMoments = (t0: number, t1: number): readonly [number, number] => {
  const width = t1 - t0;
  const centre = (t0 + t1) / 2;
  if (Math.abs(centre) > 40 * width) {
    const low = Math.log(Math.abs(centre - (gaussAbscissa * width) / 2));
    const middle = Math.log(Math.abs(centre));
    const high = Math.log(Math.abs(centre + (gaussAbscissa * width) / 2));
    const mean = (5 * low + 8 * middle + 5 * high) / 18;
    const tilt = (5 * gaussAbscissa * (high - low)) / 18;
    return [((mean - tilt) * width) / 2, ((mean + tilt) * width) / 2];
  }
  const zeroth = t1 * Math.log(Math.abs(t1)) - t1 - (t0 * Math.log(Math.abs(t0)) - t0);
  const first =
    (t1 ** 2 / 2) * Math.log(Math.abs(t1)) -
    t1 ** 2 / 4 -
    ((t0 ** 2 / 2) * Math.log(Math.abs(t0)) - t0 ** 2 / 4);
  return [(t1 * zeroth - first) / width, (first - t0 * zeroth) / width];
};
