/**
 * Follows the live stream and keeps how long after their event time assessments arrive. An assessment stands for the end of a second and waits
 * for late readings, so a constant part of it is the grid, not the service: what counts is that it does not grow.
 */
export async function watchLive(address) {
  const stop = new AbortController();
  const response = await fetch(address, { signal: stop.signal, headers: { accept: 'text/event-stream' } });
  if (response.status !== 200) throw new Error(`${address} answers ${response.status}`);
  let delaysMs = [];
  void follow(response.body, (assessment) => delaysMs.push(Date.now() - assessment.atMs)).catch((error) => {
    if (!stop.signal.aborted) throw error;
  });
  return {
    /** What came since the last call. */
    take: () => {
      const sorted = delaysMs.sort((a, b) => a - b);
      delaysMs = [];
      const at = (share) => sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? NaN;
      return { count: sorted.length, p50Ms: at(0.5), p99Ms: at(0.99) };
    },
    stop: () => stop.abort(),
  };
}

async function follow(body, onAssessment) {
  const decoder = new TextDecoder();
  let rest = '';
  for await (const chunk of body) {
    const events = (rest + decoder.decode(chunk, { stream: true })).split('\n\n');
    rest = events.pop();
    for (const event of events) {
      const fields = Object.fromEntries(
        event
          .split('\n')
          .map((line) => [line.slice(0, line.indexOf(':')), line.slice(line.indexOf(':') + 1).trim()]),
      );
      if (fields.event === 'assessment') onAssessment(JSON.parse(fields.data));
    }
  }
}
