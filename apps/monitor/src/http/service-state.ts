import type { ServiceView } from '@edge-margin/monitoring';

/** The state of the service and of its links, as pages and probes see it. */
export interface ServiceState {
  readonly view: () => ServiceView;
  /** Why the service cannot do its work, or an empty list. */
  readonly notReady: () => readonly { readonly part: string; readonly because: string }[];
}
