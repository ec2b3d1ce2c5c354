import { type Refusal, unreachable, refusalOf } from '../model/refusal.js';

/** An answer of the service, or why there is none. */
export type Answer<Body> = { readonly ok: true; readonly body: Body } | Refusal;

/** What every request has to do with the door: the word it carries where it changes something, and who hears that nobody is known any more. */
interface RequestDoor {
  readonly csrfToken: () => string | null;
  /** Called with 401 (nobody is signed in) and 403 (not as this person, or with an old word). */
  readonly onRefused: (status: 401 | 403) => void;
}

let door: RequestDoor = { csrfToken: () => null, onRefused: () => undefined };

/** Sets by whom the requests from now on are made. */
export function requestsThrough(next: RequestDoor): void {
  door = next;
}

/** An answer slower than this is taken as none. */
const patienceMs = 10_000;

/** Asks the service; `body` is sent as JSON. An empty answer is `undefined`. */
export async function request<Body>(
  path: string,
  method: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE' = 'GET',
  body?: unknown,
): Promise<Answer<Body>> {
  try {
    const response = await fetch(path, {
      method,
      cache: 'no-store',
      headers: headersFor(method, body !== undefined),
      signal: AbortSignal.timeout(patienceMs),
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    const text = await response.text();
    if (response.ok) return { ok: true, body: (text === '' ? undefined : JSON.parse(text)) as Body };
    if (response.status === 401 || response.status === 403) door.onRefused(response.status);
    return refusalOf(response.status, text, response.headers.get('retry-after'));
  } catch {
    return unreachable;
  }
}

function headersFor(method: string, hasBody: boolean): Record<string, string> {
  const token = method === 'GET' ? null : door.csrfToken();
  return {
    ...(hasBody ? { 'content-type': 'application/json' } : {}),
    ...(token === null ? {} : { 'x-csrf-token': token }),
  };
}
