import type { ServiceView } from '@edge-margin/monitoring';
import type { ServiceState } from './http/service-state.js';
import type { Runtime } from './runtime.js';

/** The state of the running parts, as pages and probes see it. */
export function serviceState(runtime: Runtime, now: () => number): ServiceState {
  return {
    view: () => viewOf(runtime, now()),
    notReady: () => {
      const { broker, journal, pipeline } = runtime;
      const link = broker.link();
      const { granted, refused } = broker.subscriptions();
      return [
        ...(link.state === 'up' ? [] : [{ part: 'broker', because: link.detail ?? 'not connected yet' }]),
        ...(link.state === 'up' && granted.length + refused.length === 0
          ? [{ part: 'broker', because: 'not subscribed yet' }]
          : []),
        ...refused.map(({ filter }) => ({ part: 'broker', because: `the broker refused ${filter}` })),
        ...faultOf('journal', journal.failure()),
        ...faultOf('store', pipeline.failure),
      ];
    },
  };
}

function faultOf(part: string, failure: Error | undefined): { part: string; because: string }[] {
  return failure === undefined ? [] : [{ part, because: failure.message }];
}

function viewOf(runtime: Runtime, nowMs: number): ServiceView {
  const link = runtime.broker.link();
  const replica = runtime.replica?.status();
  return {
    nowMs,
    broker: { state: link.state, sinceMs: link.sinceMs, detail: link.detail ?? null },
    replica:
      replica === undefined
        ? { state: 'off', behindRows: 0, detail: null }
        : { state: replica.state, behindRows: replica.behindRows, detail: replica.lastError?.text ?? null },
    display: runtime.present.display(),
    demo: runtime.isDemo,
    configurationRevision: runtime.pipeline.monitor.model?.configurationRevision ?? '',
  };
}
