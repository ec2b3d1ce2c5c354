import type { ServiceView } from '@edge-margin/monitoring';

/** The state of the service and of its links, as pages see it. */
export interface ServiceState {
  readonly view: () => ServiceView;
}
