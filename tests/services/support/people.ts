import type { Action, Role } from '@edge-margin/access';
import type { NewKeyBody, PersonBody } from '@edge-margin/monitoring';
import { firstAdministrator, type SignedIn } from './first-administrator.js';
import type { RunningService } from './service.js';

/** Makes a person, as an administrator does. */
export async function makePerson(
  service: RunningService,
  administrator: SignedIn,
  person: { readonly name: string; readonly role: Role; readonly password: string },
): Promise<string> {
  const response = await service.post('/api/people', person, administrator.headers);
  if (response.status !== 201) throw new Error(`no person: ${response.status} ${await response.text()}`);
  return ((await response.json()) as PersonBody).person.id;
}

/** Makes a key for a machine; gives the headers to send with each request. */
export async function makeKey(
  service: RunningService,
  administrator: SignedIn,
  label: string,
  actions: readonly Action[],
): Promise<{
  readonly id: string;
  readonly key: string;
  readonly headers: Readonly<Record<string, string>>;
}> {
  const response = await service.post('/api/keys', { label, actions, validDays: 2 }, administrator.headers);
  if (response.status !== 201) throw new Error(`no key: ${response.status} ${await response.text()}`);
  const { key, view } = (await response.json()) as NewKeyBody;
  return { id: view.id, key, headers: { authorization: `Bearer ${key}` } };
}

/** A machine that may acknowledge, of a service that has nobody yet; its key goes on over restarts. */
export async function acknowledgingMachine(
  service: RunningService,
  label: string,
): Promise<Readonly<Record<string, string>>> {
  const administrator = await firstAdministrator(service);
  return (await makeKey(service, administrator, label, ['view', 'acknowledge-alarm'])).headers;
}
