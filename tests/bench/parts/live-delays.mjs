import { get } from 'node:http';
import { latenessS } from './plant.mjs';
import { waitFor } from './wait.mjs';

/**
 * Listens to the live stream, and to the broker through `published`: from the publish of the message that closes a cell of the grid (the
 * winder's first one beyond the cell's end and the allowance for late readings) to the arrival of the assessment.
 */
export async function watchLive(address, subscribe) {
  const closedBy = new Map();
  const delays = [];
  const unsubscribe = await subscribe((winder, { t, p }) => {
    const key = `${winder}@${Math.floor(t / 1000 - latenessS) * 1000}`;
    if (!closedBy.has(key)) closedBy.set(key, p);
  });
  const waiting = [];
  let status;
  let rest = '';
  const request = get(`${address}/api/live`, { headers: { accept: 'text/event-stream' } }, (response) => {
    status = response.statusCode;
    response.setEncoding('utf8');
    response.on('data', (chunk) => {
      const arrivedAtMs = performance.timeOrigin + performance.now();
      const events = (rest + chunk).split('\n\n');
      rest = events.pop();
      for (const event of events) {
        const found = /"winderId":"(w\d+)","stationId":"a","atMs":(\d+)/.exec(event);
        if (event.includes('event: assessment') && found !== null)
          waiting.push({ key: `${found[1]}@${found[2]}`, arrivedAtMs });
      }
    });
  });
  request.on('error', () => undefined);
  await waitFor(() => status !== undefined, 'the live stream');
  if (status !== 200) throw new Error(`/api/live answered ${status}`);
  const begin = performance.timeOrigin + performance.now() + 2000;
  return {
    /** Delays so far, ms, without those of the first two seconds. */
    delays: () => {
      for (const { key, arrivedAtMs } of waiting.splice(0)) {
        const publishedAtMs = closedBy.get(key);
        if (publishedAtMs !== undefined && publishedAtMs > begin) delays.push(arrivedAtMs - publishedAtMs);
      }
      return delays;
    },
    stop: async () => {
      request.destroy();
      await unsubscribe();
    },
  };
}
