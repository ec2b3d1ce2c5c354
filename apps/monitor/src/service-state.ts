import type { ServiceView } from '@edge-margin/monitoring';
import type { ServiceState } from './http/service-state.js';
import type { Runtime } from './runtime.js';

/** The state of the running parts, as pages see it on every screen; what lies behind it is in the service's health. */
export function serviceState(runtime: Runtime, now: () => number): ServiceState {
  return { view: () => viewOf(runtime, now()) };
}

function viewOf(runtime: Runtime, nowMs: number): ServiceView {
  const link = runtime.broker.link();
  const replica = runtime.replica?.status();
  return {
    nowMs,
    broker: {
      state: link.state,
      sinceMs: link.sinceMs,
      // A connection that stands may still be mute, refused or losing messages.
      detail: link.detail ?? runtime.broker.trouble()[0]?.text ?? null,
    },
    replica:
      replica === undefined
        ? { state: 'off', behindRows: 0, detail: null }
        : { state: replica.state, behindRows: replica.behindRows, detail: replica.lastError?.text ?? null },
    display: runtime.present.display(),
    demo: runtime.isDemo,
    configurationRevision: runtime.pipeline.model?.configurationRevision ?? '',
  };
}
