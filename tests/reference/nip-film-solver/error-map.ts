/** One comparison: where it stands and by what share the checked value is off. */
export interface ComparedPoint {
  readonly loadNumber: number;
  readonly ambientRatio: number;
  readonly filmOverMeanFreePath: number;
  readonly errorRatio: number;
}

export interface ErrorSpread {
  readonly count: number;
  readonly largestRatio: number;
  readonly rmsRatio: number;
}

type Axis = Exclude<keyof ComparedPoint, 'errorRatio'>;

const axes: readonly (readonly [Axis, string, readonly number[]])[] = [
  ['loadNumber', 'gE', [5, 7, 10, 15, 30, 60, 120, 300]],
  ['ambientRatio', 'A = pa/p0', [0, 0.1, 0.2, 0.35, 0.6, 1, 2, 6]],
  ['filmOverMeanFreePath', 'film/mean free path', [0, 3, 5, 10, 20, 50, 200]],
];

export const errorSpread = (points: readonly ComparedPoint[]): ErrorSpread => ({
  count: points.length,
  largestRatio: Math.max(0, ...points.map(({ errorRatio }) => Math.abs(errorRatio))),
  rmsRatio: Math.sqrt(
    points.reduce((sum, { errorRatio }) => sum + errorRatio ** 2, 0) / Math.max(1, points.length),
  ),
});

/** The error by load number, by ambient over Hertz pressure and by film over mean free path, as text. */
export const errorMap = (title: string, points: readonly ComparedPoint[]): string =>
  [
    `${title}: ${spreadText(points)}`,
    ...axes.flatMap(([axis, name, bounds]) => [`  by ${name}`, ...binLines(points, axis, bounds)]),
  ].join('\n');

const binLines = (points: readonly ComparedPoint[], axis: Axis, bounds: readonly number[]): string[] =>
  bounds.slice(1).flatMap((high, i) => {
    const low = bounds[i]!;
    const inside = points.filter((point) => point[axis] >= low && point[axis] < high);
    return inside.length === 0 ? [] : [`    ${`${low} to ${high}`.padEnd(12)} ${spreadText(inside)}`];
  });

const spreadText = (points: readonly ComparedPoint[]): string => {
  const { count, largestRatio, rmsRatio } = errorSpread(points);
  const percent = (ratio: number): string => `${(100 * ratio).toFixed(2)} %`.padStart(8);
  return `${String(count).padStart(4)} points, largest ${percent(largestRatio)}, r.m.s. ${percent(rmsRatio)}`;
};
