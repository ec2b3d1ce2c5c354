import { type Reason, reason } from '@edge-margin/units';
import type { ClockWatch } from '../clock-watch.js';
import { figure, type PartReading, sign } from '../part-reading.js';

/** A jump is told of this long, ms. */
const toldForMs = 10 * 60_000;

/** Whether the machine's clock runs evenly. */
export function clockPart({ jump, jumps }: ClockWatch, steadyMs: number): PartReading {
  const because = jump !== null && steadyMs - jump.steadyMs < toldForMs ? reasonOf(jump.byMs) : undefined;
  return {
    part: 'clock',
    state: because === undefined ? 'ok' : 'degraded',
    because: because === undefined ? [] : [because],
    blocks: false,
    figures: [
      figure('jumps', 'jumps since the start', jumps, 'count'),
      // Where the clock has never jumped there is no last time to tell of.
      ...(jump === null
        ? []
        : [
            figure('last-jump', 'last jump', jump.wallMs, 'instant'),
            figure('last-jump-by', 'last jump, later is positive', jump.byMs / 1000, 's'),
          ]),
    ],
    troubles: [sign('clock-jump', 'reached', because)],
  };
}

function reasonOf(byMs: number): Reason {
  const byS = Math.round(Math.abs(byMs) / 1000);
  return byMs > 0
    ? reason('clock-jumped-ahead', `this machine’s clock jumped ahead by ${byS} s`, { byS })
    : reason('clock-set-back', `this machine’s clock was set back by ${byS} s`, { byS });
}
