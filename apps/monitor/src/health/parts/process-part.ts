import { reason } from '@edge-margin/units';
import type { LoopDelay } from '../loop-watch.js';
import { figure, type PartReading, sign } from '../part-reading.js';

/** One timer in a hundred later than this: pages are felt to lag, s. Our own choice, like the next. */
const slowLoopS = 0.2;
/** From here on assessments come late, and maintenance is called. */
const blockedLoopS = 0.5;

export interface ProcessFigures {
  readonly residentBytes: number;
  readonly heapBytes: number;
  /** Since the last look; 1 is one core. */
  readonly cpuRatio: number | null;
}

/** Event loop and memory. */
export function processPart(
  delay: LoopDelay | null,
  { residentBytes, heapBytes, cpuRatio }: ProcessFigures,
): PartReading {
  const because =
    delay !== null && delay.p99S > slowLoopS
      ? reason(
          'event-loop-slow',
          `the service is held up: one timer in a hundred comes ${Math.round(delay.p99S * 1000)} ms late or more`,
          { p99S: delay.p99S },
        )
      : undefined;
  return {
    part: 'process',
    state: because === undefined ? 'ok' : 'degraded',
    because: because === undefined ? [] : [because],
    blocks: false,
    figures: [
      figure('loop-delay-p50', 'event loop late, half within', delay?.p50S, 's'),
      figure('loop-delay-p99', 'event loop late, 99 of 100 within', delay?.p99S, 's'),
      figure('loop-delay-max', 'event loop late, at most', delay?.maxS, 's'),
      figure('cpu', 'processor, 1 is one core', cpuRatio, 'ratio'),
      figure('resident-bytes', 'memory', residentBytes, 'By'),
      figure('heap-bytes', 'of this JavaScript heap', heapBytes, 'By'),
    ],
    troubles: [sign('event-loop', 'reached', (delay?.p99S ?? 0) > blockedLoopS ? because : undefined)],
  };
}
