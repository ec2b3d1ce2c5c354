import type { Action } from '@edge-margin/access';

/** Who may ask for a route, as the guard reads it. */
export interface RouteAccess {
  /** An action of the table; `signed-in`: whoever has a session; `anybody`: everybody. */
  readonly who: Action | 'signed-in' | 'anybody';
  /** The body may say who acts, at a screen where nobody is signed in. */
  readonly acting: boolean;
  /** It makes a session, so that the word of the one before is not asked for. */
  readonly startsSession: boolean;
}

export const routeAccess = Symbol('who may ask for a route');
