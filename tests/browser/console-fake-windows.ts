import type { SeriesBody } from '@edge-margin/monitoring';

const windowMs = 120_000;

/** Invented trends as the service gives them for a long time: bands of two minutes, and points at their lowest and highest. */
export function inWindows({ gaps, series }: SeriesBody): SeriesBody {
  return {
    gaps,
    series: series.map((one) => {
      const band = bandOf(one.points);
      return {
        ...one,
        resolution: '1min',
        intervalMs: band.length === 0 ? null : windowMs,
        band,
        points: band.flatMap(([startMs, low, high]) => [
          [startMs + 1_000, low] as const,
          [startMs + 2_000, high] as const,
        ]),
      };
    }),
  };
}

function bandOf(points: SeriesBody['series'][number]['points']): SeriesBody['series'][number]['band'] {
  const windows = new Map<number, number[]>();
  for (const [atMs, value] of points) {
    const startMs = Math.floor(atMs / windowMs) * windowMs;
    windows.set(startMs, [...(windows.get(startMs) ?? []), value]);
  }
  return [...windows].map(([startMs, values]) => {
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    // A swing within each window, which its mean does not show.
    const swing = 0.03 * Math.abs(mean);
    return [startMs, Math.min(...values) - swing, Math.max(...values) + swing, mean];
  });
}
