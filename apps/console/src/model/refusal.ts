/** Why the service did not do it: in words for people, and for which field of the request. */
export interface Refusal {
  readonly ok: false;
  /** Null where the service could not be reached. */
  readonly status: number | null;
  readonly words: string;
  /** By the name of the field. */
  readonly fields: ReadonlyMap<string, string>;
  /** After how many seconds it may be tried again. */
  readonly retryAfterS: number | null;
}

export const unreachable: Refusal = {
  ok: false,
  status: null,
  words: 'the service cannot be reached',
  fields: new Map(),
  retryAfterS: null,
};

/** A refusal in its own words (RFC 9457: `detail`, else `title`), else by its status. `Retry-After` is taken in seconds (RFC 9110, 10.2.3). */
export function refusalOf(status: number, text: string, retryAfter: string | null): Refusal {
  return {
    ok: false,
    status,
    words: problemWords(text) ?? `the service answered ${status}`,
    fields: fieldWords(text),
    retryAfterS: retryAfter !== null && /^\d{1,6}$/.test(retryAfter) ? Number(retryAfter) : null,
  };
}

/** `detail` or `title` of a problem document, or null. */
export function problemWords(text: string): string | null {
  const { detail, title } = objectOf(text);
  return [detail, title].find((words): words is string => typeof words === 'string' && words !== '') ?? null;
}

/** The words of `errors`, by the first step of each JSON pointer (RFC 6901). */
function fieldWords(text: string): ReadonlyMap<string, string> {
  const { errors } = objectOf(text);
  const words = new Map<string, string>();
  for (const error of Array.isArray(errors) ? (errors as readonly unknown[]) : []) {
    const { pointer, detail } = (error ?? {}) as { pointer?: unknown; detail?: unknown };
    if (typeof pointer !== 'string' || typeof detail !== 'string') continue;
    const name = pointer.split('/')[1] ?? '';
    if (!words.has(name)) words.set(name, detail);
  }
  return words;
}

function objectOf(text: string): { detail?: unknown; title?: unknown; errors?: unknown } {
  try {
    const parsed: unknown = JSON.parse(text);
    return typeof parsed === 'object' && parsed !== null ? parsed : {};
  } catch {
    return {};
  }
}

/** The words of a refusal, with when to try again where the service tells: `too many tries; try again at 14:33`. */
export function refusalWords(refusal: Refusal, nowMs: number, time: (atMs: number) => string): string {
  const { retryAfterS, words } = refusal;
  if (retryAfterS === null) return words;
  const wait =
    retryAfterS < 90
      ? `in ${retryAfterS} s`
      : `in ${Math.ceil(retryAfterS / 60)} min, at ${time(nowMs + retryAfterS * 1_000)}`;
  return `${words.replace(/[.;]\s*$/, '')}. Try again ${wait}`;
}
