import type { SessionBody } from '@edge-margin/monitoring';
import type { RunningService } from './service.js';

/** Somebody who may do everything that an administrator may: headers to be sent with each request. */
export interface SignedIn {
  readonly headers: Readonly<Record<string, string>>;
}

/** Makes the first administrator with the word from the service's log, as whoever installs the service does. */
export async function firstAdministrator(
  service: RunningService,
  name = 'Ada',
  password = 'a long word for the tests',
): Promise<SignedIn> {
  const response = await service.post('/api/first-administrator', {
    word: firstWord(service),
    name,
    password,
  });
  return signedInBy(response);
}

/** The one-time word of the link in the log. */
export function firstWord(service: RunningService): string | undefined {
  return /first-administrator#word=(\S+)/.exec(service.output())?.[1];
}

/** Signs somebody in. */
export async function signIn(service: RunningService, name: string, password: string): Promise<SignedIn> {
  return signedInBy(await service.post('/api/session', { name, password }));
}

/** Who is signed in by this answer. */
export async function signedInBy(response: Response): Promise<SignedIn> {
  if (response.status !== 200) throw new Error(`sign-in: ${response.status} ${await response.text()}`);
  const { csrfToken } = (await response.json()) as SessionBody;
  const cookie = response.headers
    .getSetCookie()
    .map((line) => line.split(';')[0])
    .join('; ');
  return { headers: { cookie, 'x-csrf-token': csrfToken ?? '' } };
}
