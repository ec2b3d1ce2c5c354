import type { AlarmView } from '@edge-margin/alarms';
import type {
  AcknowledgeBody,
  AcknowledgeRequest,
  AlarmJournalBody,
  SeriesBody,
  WindersBody,
} from '@edge-margin/monitoring';

/** An answer of the service, or in words why there is none. */
export type Answer<Body> =
  { readonly ok: true; readonly body: Body } | { readonly ok: false; readonly words: string };

export interface SeriesQuery {
  readonly winderId: string;
  readonly stationId: string;
  /** `measurement:field` or `measurement:field@end`. */
  readonly fields: readonly string[];
  readonly fromMs: number;
  readonly toMs: number;
  readonly maxPoints: number;
}

export function fetchWinders(): Promise<Answer<WindersBody>> {
  return ask('/api/winders');
}

export function fetchJournal(limit: number): Promise<Answer<AlarmJournalBody>> {
  return ask(`/api/alarms/journal?limit=${limit}`);
}

export function fetchSeries(query: SeriesQuery): Promise<Answer<SeriesBody>> {
  const params = new URLSearchParams({
    station: query.stationId,
    from: String(Math.round(query.fromMs)),
    to: String(Math.round(query.toMs)),
    maxPoints: String(query.maxPoints),
  });
  for (const field of query.fields) params.append('field', field);
  return ask(`/api/winders/${encodeURIComponent(query.winderId)}/series?${params.toString()}`);
}

/** Acknowledges one occurrence in the name of a person. */
export function acknowledge(alarm: AlarmView, actor: string): Promise<Answer<AcknowledgeBody>> {
  const request: AcknowledgeRequest = { occurrenceId: alarm.occurrenceId, actor };
  return ask(`/api/alarms/${encodeURIComponent(alarm.alarmKey)}/acknowledge`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(request),
  });
}

/** An answer slower than this is taken as none. */
const patienceMs = 10_000;

async function ask<Body>(path: string, init: RequestInit = {}): Promise<Answer<Body>> {
  try {
    const response = await fetch(path, {
      ...init,
      cache: 'no-store',
      signal: AbortSignal.timeout(patienceMs),
    });
    if (!response.ok) return { ok: false, words: await refusal(response) };
    return { ok: true, body: (await response.json()) as Body };
  } catch {
    return { ok: false, words: 'the service cannot be reached' };
  }
}

/** The refusal's own words (RFC 9457: `detail`, else `title`), else its status. */
async function refusal(response: Response): Promise<string> {
  const text = await response.text();
  return problemWords(text) ?? `the service answered ${response.status}`;
}

/** `detail` or `title` of a problem document, or null. */
export function problemWords(text: string): string | null {
  try {
    const problem: unknown = JSON.parse(text);
    if (typeof problem !== 'object' || problem === null) return null;
    const { detail, title } = problem as { detail?: unknown; title?: unknown };
    return (
      [detail, title].find((words): words is string => typeof words === 'string' && words !== '') ?? null
    );
  } catch {
    return null;
  }
}
