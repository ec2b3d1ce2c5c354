import type {
  ActingNamesBody,
  AuditBody,
  KeysBody,
  NewKeyBody,
  NewKeyRequest,
  NewPersonRequest,
  PeopleBody,
  PersonBody,
  PersonChangeRequest,
} from '@edge-margin/monitoring';
import { type Answer, request } from './request.js';

/** Names to choose from at a shared screen. */
export function fetchActingNames(): Promise<Answer<ActingNamesBody>> {
  return request('/api/people/names');
}

export function fetchPeople(): Promise<Answer<PeopleBody>> {
  return request('/api/people');
}

export function addPerson(person: NewPersonRequest): Promise<Answer<PersonBody>> {
  return request('/api/people', 'POST', person);
}

export function changePerson(id: string, change: PersonChangeRequest): Promise<Answer<PersonBody>> {
  return request(`/api/people/${encodeURIComponent(id)}`, 'PATCH', change);
}

export function fetchKeys(): Promise<Answer<KeysBody>> {
  return request('/api/keys');
}

export function makeKey(key: NewKeyRequest): Promise<Answer<NewKeyBody>> {
  return request('/api/keys', 'POST', key);
}

export function endKey(id: string): Promise<Answer<unknown>> {
  return request(`/api/keys/${encodeURIComponent(id)}`, 'DELETE');
}

/** The newest entries, or those that come after `before`, as the answer with newer ones says. */
export function fetchAudit(limit: number, before: string | null): Promise<Answer<AuditBody>> {
  return request(
    `/api/audit?limit=${limit}${before === null ? '' : `&before=${encodeURIComponent(before)}`}`,
  );
}
