/** Asks again until the answer is there; fails with the last failure when the time is up, which is long: limits are there for what hangs. */
export async function eventually<T>(
  ask: () => Promise<T | undefined> | T | undefined,
  what: string,
  timeoutMs = 60_000,
): Promise<T> {
  const deadline = Date.now() + timeoutMs;
  let failure: unknown;
  for (;;) {
    try {
      const answer = await ask();
      if (answer !== undefined) return answer;
    } catch (error) {
      failure = error;
    }
    if (Date.now() > deadline) throw new Error(`${what}: not within ${timeoutMs} ms`, { cause: failure });
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}
