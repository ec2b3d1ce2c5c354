import { monitorEventLoopDelay } from 'node:perf_hooks';

/** Delays of the event loop within a span, s: by how much a timer of some milliseconds came late. */
export interface LoopDelay {
  readonly p50S: number;
  readonly p90S: number;
  readonly p99S: number;
  readonly maxS: number;
}

export interface LoopWatch {
  /** Of the last whole span; null within the first. */
  readonly delay: () => LoopDelay | null;
  /** Ends a span and begins the next. */
  readonly beginSpan: () => void;
  readonly stop: () => void;
}

const resolutionMs = 10;

/** Watches the event loop. The timer that measures runs outside JavaScript and costs next to nothing. */
export function watchLoop(): LoopWatch {
  const histogram = monitorEventLoopDelay({ resolution: resolutionMs });
  histogram.enable();
  let last: LoopDelay | null = null;
  const lateS = (nanoseconds: number): number => Math.max(0, nanoseconds / 1e9 - resolutionMs / 1000);
  return {
    delay: () => last,
    beginSpan: () => {
      if (histogram.count > 0)
        last = {
          p50S: lateS(histogram.percentile(50)),
          p90S: lateS(histogram.percentile(90)),
          p99S: lateS(histogram.percentile(99)),
          maxS: lateS(histogram.max),
        };
      histogram.reset();
    },
    stop: () => histogram.disable(),
  };
}
