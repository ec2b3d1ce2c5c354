import type {
  FirstAdministratorRequest,
  OwnPasswordRequest,
  OwnPinRequest,
  SessionBody,
  SignInRequest,
} from '@edge-margin/monitoring';
import { type Answer, request, requestsThrough } from './request.js';

/** Who is at this screen, as the service knows it. */
export interface DoorState {
  /** Null until the service has answered once. */
  readonly session: SessionBody | null;
  /** The session ended by itself while somebody worked: the page stays, and sign-in is offered. */
  readonly ended: boolean;
  /** What the page is drawn for: the session, or, where that has just ended by itself, what it was. */
  readonly shown: SessionBody | null;
}

/** The way in and out. Everything else that asks the service goes through {@link request}, behind which this door stands. */
export interface Door {
  readonly state: () => DoorState;
  readonly subscribe: (listener: () => void) => void;
  /** Asks who is signed in, until the service answers, and again when the page comes back into view; done after the first attempt. */
  readonly start: () => Promise<void>;
  readonly check: () => Promise<void>;
  readonly signIn: (who: SignInRequest) => Promise<Answer<unknown>>;
  readonly signOut: () => Promise<Answer<unknown>>;
  readonly makeFirstAdministrator: (who: FirstAdministratorRequest) => Promise<Answer<unknown>>;
  readonly changePassword: (change: OwnPasswordRequest) => Promise<Answer<unknown>>;
  readonly changePin: (change: OwnPinRequest) => Promise<Answer<unknown>>;
  /** The person does not want to sign in again now. */
  readonly leaveEnded: () => void;
}

const retryMs = 3_000;
/** A session that should be over is asked for this long after its end. */
const afterEndMs = 2_000;
/** Longest wait that a timer takes. */
const longestWaitMs = 0x7fff_ffff;

export function createDoor(): Door {
  let state: DoorState = { session: null, ended: false, shown: null };
  /** Rises with every change made here: an older answer is of no interest then. */
  let turn = 0;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const listeners = new Set<() => void>();

  const take = (session: SessionBody, ended: boolean): void => {
    state = { session, ended, shown: ended ? state.shown : session };
    clearTimeout(timer);
    if (session.person !== null && session.expiresAtMs !== null) {
      const waitMs = session.expiresAtMs - Date.now() + afterEndMs;
      timer = setTimeout(() => void check(), Math.min(longestWaitMs, Math.max(retryMs, waitMs)));
    }
    for (const listener of listeners) listener();
  };
  const check = async (): Promise<void> => {
    const asked = turn;
    const answer = await request<SessionBody>('/api/session');
    if (!answer.ok || asked !== turn) return;
    const hadPerson = (state.session?.person ?? null) !== null;
    take(answer.body, answer.body.person === null && (state.ended || hadPerson));
  };
  const checkUntilAnswered = async (): Promise<void> => {
    await check();
    if (state.session === null) setTimeout(() => void checkUntilAnswered(), retryMs);
  };
  const changing = async (
    path: string,
    method: 'POST' | 'PUT' | 'DELETE',
    body?: unknown,
  ): Promise<Answer<unknown>> => {
    const answer = await request<SessionBody>(path, method, body);
    if (!answer.ok) return answer;
    turn += 1;
    take(answer.body, false);
    return answer;
  };

  requestsThrough({
    csrfToken: () => state.session?.csrfToken ?? null,
    // It may mean that the session is over, or that another tab has signed somebody else in.
    onRefused: () => void check(),
  });
  return {
    state: () => state,
    subscribe: (listener) => listeners.add(listener),
    start: () => {
      document.addEventListener('visibilitychange', () => {
        if (document.visibilityState === 'visible') void check();
      });
      return checkUntilAnswered();
    },
    check,
    signIn: (who) => changing('/api/session', 'POST', who),
    signOut: () => changing('/api/session', 'DELETE'),
    makeFirstAdministrator: (who) => changing('/api/first-administrator', 'POST', who),
    changePassword: (own) => changing('/api/session/password', 'PUT', own),
    changePin: (own) => changing('/api/session/pin', 'PUT', own),
    leaveEnded: () => {
      state = { ...state, ended: false, shown: state.session };
      for (const listener of listeners) listener();
    },
  };
}
