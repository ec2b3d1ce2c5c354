import type { LinkRow } from '@edge-margin/telemetry';
import { reason } from '@edge-margin/units';
import type { Effect } from './effect.js';
import { type Fold, type Monitor, plantKey } from './monitor.js';

/** The broker link came up or went down. */
export function foldLink(monitor: Monitor, row: LinkRow): Fold {
  const effects: Effect[] = [];
  if (row.state === 'up' && row.sessionPresent === false && monitor.linkDownSinceMs !== null) {
    effects.push({
      kind: 'gap',
      id: `session@${row.arrivedAtMs}`,
      gap: {
        what: 'messages',
        fromMs: monitor.linkDownSinceMs,
        toMs: row.arrivedAtMs,
        count: null,
        because: reason(
          'session-lost',
          'the broker had not kept our session: what was sent while the link was down did not come',
          {},
        ),
      },
    });
  }
  const linkDownSinceMs = row.state === 'up' ? null : (monitor.linkDownSinceMs ?? row.arrivedAtMs);
  return { monitor: { ...monitor, linkDownSinceMs }, effects, touched: [plantKey] };
}
