import { reason } from '@edge-margin/units';
import type { Tally } from '../../metrics/tally.js';
import { figure, type PartReading } from '../part-reading.js';

/** More rows than this waiting, and time stands still for the stations until they are through. */
export const longBacklogRows = 10_000;

/** Whether what came in is assessed, and how long after its time. */
export function foldPart(
  pipeline: { readonly backlog: number },
  stations: number,
  tally: Tally,
): PartReading {
  const { backlog } = pipeline;
  const because =
    backlog > longBacklogRows
      ? [
          reason(
            'catching-up',
            `${backlog} rows of the journal are not assessed yet: what is shown is late`,
            {
              backlog,
            },
          ),
        ]
      : [];
  const { assessmentDelay, messages } = tally;
  return {
    part: 'fold',
    state: because.length > 0 ? 'degraded' : 'ok',
    because,
    blocks: false,
    figures: [
      figure('waiting-rows', 'rows not assessed yet', backlog, 'count'),
      figure(
        'delay-p50',
        'from reading to assessment, half within',
        assessmentDelay.recentQuantile(0.5),
        's',
      ),
      figure(
        'delay-p99',
        'from reading to assessment, 99 of 100 within',
        assessmentDelay.recentQuantile(0.99),
        's',
      ),
      figure('stations', 'stations', stations, 'count'),
      figure('messages-used', 'messages used since the start', messages.used, 'count'),
      figure('messages-partly', 'used in part', messages.partly, 'count'),
      figure('messages-not-used', 'not used', messages['not-used'], 'count'),
    ],
    troubles: [],
  };
}
