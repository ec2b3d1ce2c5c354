import { figure, type PartReading } from '../part-reading.js';

/** Pages that listen. */
export function livePart(hub: {
  readonly listeners: () => number;
  readonly sent: () => number;
}): PartReading {
  return {
    part: 'live',
    state: 'ok',
    because: [],
    blocks: false,
    figures: [
      figure('listeners', 'open pages', hub.listeners(), 'count'),
      figure('events', 'events since the start', hub.sent(), 'count'),
    ],
    troubles: [],
  };
}
