import { type Reason, reason } from '@edge-margin/units';

/** What an answer to a write means for the batch. */
export type WriteOutcome =
  | { readonly kind: 'written' }
  /** Nothing is wrong with the batch: the same again, later. */
  | {
      readonly kind: 'retry';
      readonly because: Reason;
      /** The server asks not to be asked again before, ms. */ readonly afterMs?: number;
    }
  /** Somebody must act first (credentials, database, retention policy, limits of the server): the same again, much later. */
  | { readonly kind: 'misconfigured'; readonly because: Reason }
  /** Too large in one piece. */
  | { readonly kind: 'split'; readonly because: Reason }
  /** Something in it will never be taken; the rest may be stored already. `dropped`: how many lines the server says it left out. */
  | { readonly kind: 'refused'; readonly because: Reason; readonly dropped: number };

/** A server that asks for more patience than this is asked again all the same, ms. */
const longestAskedMs = 300_000;

type Kind = Exclude<WriteOutcome['kind'], 'written'>;

/**
 * Answers in the order in which they are looked at: status, words in the body, what it means, code of the reason. Those of InfluxDB 1.6.7 were
 * observed; those of 2.x (422, `message` instead of `error`, mappings) are taken from its published description and source, as no such
 * server was at hand. Some are not what their status says: a retention policy that does not exist is answered with 500, a full cache with 400
 * or 500, and early 2.x answers a partial write with 500. A series limit drops the whole batch, good points included, so it must not lead to
 * rows being given up.
 */
const answers: readonly (readonly [
  statuses: readonly number[] | undefined,
  words: RegExp,
  kind: Kind,
  code: string,
])[] = [
  // First what quotes our own text, whose words must not be taken for the server's.
  [[400, 422], /unable to parse|field type conflict/, 'refused', 'replica-refused'],
  [[401, 403], /(?:)/, 'misconfigured', 'replica-not-authorized'],
  [[404], /database not found/, 'misconfigured', 'replica-database-missing'],
  [[404], /dbrp mapping|find DBRP|bucket .* not found/i, 'misconfigured', 'replica-mapping-missing'],
  [[404], /(?:)/, 'misconfigured', 'replica-not-influxdb'],
  [undefined, /retention policy not found/, 'misconfigured', 'replica-retention-policy-missing'],
  [undefined, /cache-max-memory-size|engine:|timeout/, 'retry', 'replica-busy'],
  [[400, 422], /max-(series-per-database|values-per-tag)/, 'misconfigured', 'replica-limit-reached'],
  [[400], /database is required/, 'misconfigured', 'replica-not-influxdb'],
  [[413], /(?:)/, 'split', 'replica-batch-too-large'],
  [[500], /partial write|field type conflict/, 'refused', 'replica-refused'],
  [[400, 422], /(?:)/, 'refused', 'replica-refused'],
  [[408, 425, 429], /(?:)/, 'retry', 'replica-busy'],
];

/**
 * Classifies the answer to a write. Only 204 means written: a page of another server answers 200 too.
 * @param retryAfter The header `Retry-After`, where there is one; only seconds are understood.
 */
export function classifyAnswer(status: number, body: string, retryAfter: string | null = null): WriteOutcome {
  if (status === 204) return { kind: 'written' };
  const message = messageOf(body);
  const found = answers.find(
    ([statuses, words]) => (statuses === undefined || statuses.includes(status)) && words.test(message),
  );
  const fallback: readonly [Kind, string] =
    status >= 500 ? ['retry', 'replica-busy'] : ['misconfigured', 'replica-not-influxdb'];
  const [kind, code] = found === undefined ? fallback : [found[2], found[3]];
  const because = reason(code, `InfluxDB answered ${status}${message === '' ? '' : `: ${message}`}`, {
    status,
  });
  if (kind === 'refused') return { kind, because, dropped: droppedIn(message) };
  if (kind === 'retry' && /^\d{1,6}$/.test(retryAfter ?? '')) {
    return { kind, because, afterMs: Math.min(longestAskedMs, 1000 * Number(retryAfter)) };
  }
  return { kind, because };
}

/** A request that got no answer. */
export function noAnswer(error: unknown): WriteOutcome {
  const cause = error instanceof Error && error.cause instanceof Error ? error.cause : error;
  const text = cause instanceof Error ? cause.message : String(cause);
  return { kind: 'retry', because: reason('replica-unreachable', `InfluxDB does not answer: ${text}`) };
}

function messageOf(body: string): string {
  try {
    const parsed: unknown = JSON.parse(body);
    if (typeof parsed === 'object' && parsed !== null) {
      const { error, message } = parsed as { readonly error?: unknown; readonly message?: unknown };
      if (error !== undefined || message !== undefined) return String(error ?? message).slice(0, 500);
    }
  } catch {
    // Not JSON: a proxy's page, or an empty body.
  }
  return body.trim().slice(0, 200);
}

function droppedIn(message: string): number {
  return Number(/dropped=(\d+)/.exec(message)?.[1] ?? 0);
}
