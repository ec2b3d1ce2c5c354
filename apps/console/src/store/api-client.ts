import type { AlarmView } from '@edge-margin/alarms';
import type {
  AcknowledgeBody,
  AcknowledgeRequest,
  ActingPerson,
  AlarmJournalBody,
  AlarmsBody,
  GapsBody,
  KeepingBody,
  ReadingsNotUsedBody,
  SeriesBody,
  ServiceHealthBody,
  WindersBody,
} from '@edge-margin/monitoring';
import { type Answer, request } from './request.js';

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
  return request('/api/winders');
}

export function fetchAlarms(): Promise<Answer<AlarmsBody>> {
  return request('/api/alarms');
}

export function fetchJournal(limit: number): Promise<Answer<AlarmJournalBody>> {
  return request(`/api/alarms/journal?limit=${limit}`);
}

export function fetchServiceHealth(): Promise<Answer<ServiceHealthBody>> {
  return request('/api/service-health');
}

export function fetchReadingsNotUsed(): Promise<Answer<ReadingsNotUsedBody>> {
  return request('/api/readings-not-used');
}

/** What is known to be missing since an instant, newest first. */
export function fetchGaps(fromMs: number, limit: number): Promise<Answer<GapsBody>> {
  return request(`/api/gaps?from=${Math.round(fromMs)}&limit=${limit}`);
}

export function fetchKeeping(): Promise<Answer<KeepingBody>> {
  return request('/api/keeping');
}

export function fetchSeries(query: SeriesQuery): Promise<Answer<SeriesBody>> {
  const params = new URLSearchParams({
    station: query.stationId,
    from: String(Math.round(query.fromMs)),
    to: String(Math.round(query.toMs)),
    maxPoints: String(query.maxPoints),
  });
  for (const field of query.fields) params.append('field', field);
  return request(`/api/winders/${encodeURIComponent(query.winderId)}/series?${params.toString()}`);
}

/** Who acknowledges and what is said with it. Without `acting` it is the person who is signed in. */
export interface Acknowledging {
  readonly acting?: ActingPerson;
  readonly comment?: string;
}

/** Acknowledges one occurrence. */
export function acknowledge(alarm: AlarmView, by: Acknowledging): Promise<Answer<AcknowledgeBody>> {
  const body: AcknowledgeRequest = { occurrenceId: alarm.occurrenceId, ...by };
  return request(`/api/alarms/${encodeURIComponent(alarm.alarmKey)}/acknowledge`, 'POST', body);
}
