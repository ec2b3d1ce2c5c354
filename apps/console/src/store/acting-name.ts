const storageKey = 'edge-margin.acting-name';

/** A shift has at most this many hours (a long one; common practice, no source). */
const shiftMs = 12 * 3_600_000;

/** Who acted last at this screen within this shift; null where nobody did. Only the name is ever kept, never a secret. */
export function actingName(nowMs: number): string | null {
  try {
    const { name, atMs } = JSON.parse(localStorage.getItem(storageKey) ?? '{}') as {
      name?: unknown;
      atMs?: unknown;
    };
    const kept = typeof name === 'string' && typeof atMs === 'number' && Math.abs(nowMs - atMs) < shiftMs;
    return kept ? name : null;
  } catch {
    return null;
  }
}

export function keepActingName(name: string, nowMs: number): void {
  try {
    localStorage.setItem(storageKey, JSON.stringify({ name, atMs: nowMs }));
  } catch {
    // A browser that stores nothing asks again next time.
  }
}
