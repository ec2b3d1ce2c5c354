import type { Reason } from '@edge-margin/units';
import { readFileSync, renameSync, writeFileSync } from 'node:fs';
import type { Logger } from 'pino';
import { clockAhead, type KnownTime, lookAtClock } from './known-time.js';

/** The known time as it runs. */
export interface KnownTimeWatch {
  /** The time that ages are measured from, epoch ms. */
  readonly now: () => number;
  /** Why that is earlier than this machine's clock; null where it is not. */
  readonly heldBack: () => Reason | null;
}

export interface KnownTimeParts {
  /** A file of its own, as a restart must not make a wrong clock the known time. */
  readonly path: string;
  /** When something last came in, for the first start with such a file; null where nothing ever did. */
  readonly lastArrivalMs: number | null;
  readonly wallMs: () => number;
  readonly steadyMs: () => number;
  readonly log: Pick<Logger, 'warn' | 'info' | 'error'>;
}

/** The file may be behind by so much, ms: a restart within the allowance is none for the clock. */
const writeEveryMs = 60_000;

/** Opens the watch; each question is a look at the clock. */
export function watchKnownTime(parts: KnownTimeParts): KnownTimeWatch {
  const { path, wallMs, steadyMs, log } = parts;
  let known = read(path) ?? { atMs: parts.lastArrivalMs ?? wallMs(), awayMs: 0 };
  let lookedAtMs = steadyMs();
  let writtenAtMs = -Infinity;
  let isTold = false;
  let cannotWrite = false;

  const look = (): KnownTime => {
    const nowMs = steadyMs();
    known = lookAtClock(known, wallMs(), nowMs - lookedAtMs);
    lookedAtMs = nowMs;
    tell();
    if (nowMs - writtenAtMs >= writeEveryMs) write(nowMs);
    return known;
  };
  const tell = (): void => {
    const because = clockAhead(known, wallMs());
    if (because !== null && !isTold)
      log.warn(
        { code: because.code, ...because.params, knownTime: new Date(known.atMs).toISOString() },
        because.text,
      );
    if (because === null && isTold) log.info('ages are measured by this machine’s clock again');
    isTold = because !== null;
  };
  const write = (nowMs: number): void => {
    writtenAtMs = nowMs;
    try {
      writeFileSync(`${path}.new`, JSON.stringify(known), { mode: 0o600 });
      renameSync(`${path}.new`, path);
      cannotWrite = false;
    } catch (error) {
      if (!cannotWrite) log.error({ err: error }, 'the known time cannot be written; it is tried again');
      cannotWrite = true;
    }
  };
  return {
    now: () => Math.min(look().atMs, wallMs()),
    heldBack: () => clockAhead(look(), wallMs()),
  };
}

/** Missing or damaged: nothing is known. */
function read(path: string): KnownTime | undefined {
  try {
    const { atMs, awayMs } = JSON.parse(readFileSync(path, 'utf8')) as Readonly<Record<string, unknown>>;
    return Number.isFinite(atMs) && Number.isFinite(awayMs)
      ? { atMs: atMs as number, awayMs: awayMs as number }
      : undefined;
  } catch {
    return undefined;
  }
}
