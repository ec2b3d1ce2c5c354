import type { Journal } from '@edge-margin/journal';
import { reason } from '@edge-margin/units';
import type { DelayHistogram } from '../../metrics/delay-histogram.js';
import { figure, type PartReading, sign } from '../part-reading.js';

/** More than this waiting for the disk is worth a look, bytes: at twice as much the service stops reading from the broker. */
const muchPendingBytes = 4 * 1024 * 1024;

/** Whether what comes in is on disk before it is acknowledged. */
export function journalPart(
  journal: Pick<
    Journal,
    'failure' | 'pendingBytes' | 'lastPosition' | 'durable' | 'firstPosition' | 'segments'
  >,
  delay: DelayHistogram,
): PartReading {
  const failure = journal.failure();
  const pendingBytes = journal.pendingBytes();
  const because =
    failure !== undefined
      ? [reason(`journal-${failure.code}`, failure.message)]
      : pendingBytes > muchPendingBytes
        ? [
            reason(
              'journal-slow',
              `${Math.round(pendingBytes / 1024)} kB wait for the disk: it takes less than what comes in`,
              { pendingBytes },
            ),
          ]
        : [];
  const segments = journal.segments();
  return {
    part: 'journal',
    state: failure !== undefined ? 'down' : because.length > 0 ? 'degraded' : 'ok',
    because,
    blocks: failure !== undefined,
    figures: [
      figure(
        'waiting-rows',
        'rows waiting for the disk',
        journal.lastPosition() - journal.durable(),
        'count',
      ),
      figure('waiting-bytes', 'waiting for the disk', pendingBytes, 'By'),
      figure('durable-delay-p99', 'wait for the disk, 99 of 100 within', delay.recentQuantile(0.99), 's'),
      figure('kept-rows', 'rows kept', journal.lastPosition() - journal.firstPosition() + 1, 'count'),
      figure(
        'kept-bytes',
        'kept',
        segments.reduce((sum, { bytes }) => sum + bytes, 0),
        'By',
      ),
      figure('kept-from', 'kept from', segments[0]?.firstArrivedAtMs, 'instant'),
    ],
    troubles: [sign('journal-failing', 'reached', failure === undefined ? undefined : because[0])],
  };
}
