import type { SessionBody } from '@edge-margin/monitoring';
import type { StationContext } from '../model/station-context.js';
import type { ConsoleState } from '../store/console-state.js';
import type { ConsoleStore } from '../store/console-store.js';
import type { Door } from '../store/door.js';

/** What every page is made from. */
export interface PageView {
  readonly state: ConsoleState;
  readonly store: ConsoleStore;
  /** Every station in floor order. */
  readonly contexts: readonly StationContext[];
  readonly theme: 'light' | 'dark';
  readonly door: Door;
  /** Who is here and what may be done; null until the service has answered. */
  readonly session: SessionBody | null;
}
