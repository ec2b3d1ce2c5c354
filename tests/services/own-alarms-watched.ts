import type { Action } from '@edge-margin/access';
import type { AlarmTransition, AlarmView } from '@edge-margin/alarms';
import type { AlarmJournalBody, AlarmsBody, PartHealth, ServiceHealthBody } from '@edge-margin/monitoring';
import { firstAdministrator } from './support/first-administrator.js';
import { readOpenMetrics } from './support/open-metrics.js';
import { makeKey } from './support/people.js';
import type { RunningService } from './support/service.js';

/** What whoever looks after the service sees of it; follows the service over restarts. */
export interface Watched {
  /** After a restart: the service to ask from now on. */
  readonly follow: (service: RunningService) => void;
  /** The own alarm in the list that everybody sees; undefined where it is not there. */
  readonly alarm: (trouble: string) => Promise<AlarmView | undefined>;
  /** What the page about the service shows of a part, and whether the alarm stands there. */
  readonly onPage: (
    part: string,
    trouble: string,
  ) => Promise<{ readonly part: PartHealth | undefined; readonly alarm: AlarmView | undefined }>;
  /** Of the metrics: the state of the part, and how many alarms of this priority nobody has acknowledged. */
  readonly inMetrics: (
    part: string,
    priority: string,
  ) => Promise<{ readonly state: string | undefined; readonly unacknowledged: number }>;
  /** Recorded transitions of the alarm, oldest first. */
  readonly transitions: (trouble: string) => Promise<readonly AlarmTransition[]>;
  readonly acknowledge: (alarm: AlarmView) => Promise<number>;
}

const actions: readonly Action[] = ['view', 'view-service-health', 'acknowledge-alarm'];

/** Watches a service that has nobody yet, with a key of its own. */
export async function watched(first: RunningService): Promise<Watched> {
  let service = first;
  const { headers } = await makeKey(service, await firstAdministrator(service), 'watcher', actions);
  const json = async <T>(path: string): Promise<T> =>
    (await fetch(service.url + path, { headers })).json() as Promise<T>;
  const isOf =
    (trouble: string) =>
    ({ alarmKey }: { readonly alarmKey: string }): boolean =>
      alarmKey === `service.testsite.${trouble}`;
  return {
    follow: (next) => (service = next),
    alarm: async (trouble) => (await json<AlarmsBody>('/api/alarms')).alarms.find(isOf(trouble)),
    onPage: async (name, trouble) => {
      const { parts, alarms } = await json<ServiceHealthBody>('/api/service-health');
      return { part: parts.find(({ part }) => part === name), alarm: alarms.find(isOf(trouble)) };
    },
    inMetrics: async (name, priority) => {
      const families = readOpenMetrics(
        await (
          await fetch(`${service.url}/metrics`, { headers: { ...headers, accept: openMetrics } })
        ).text(),
      );
      const part = families
        .get('edge_margin_part_state')
        ?.samples.find(({ labels, value }) => labels['part'] === name && value === 1);
      const alarms = families
        .get('edge_margin_alarms')
        ?.samples.find(({ labels }) => labels['state'] === 'UNACK' && labels['priority'] === priority);
      return { state: part?.labels['edge_margin_part_state'], unacknowledged: alarms?.value ?? NaN };
    },
    transitions: async (trouble) =>
      (await json<AlarmJournalBody>('/api/alarms/journal?limit=1000')).transitions
        .filter(({ alarm }) => isOf(trouble)(alarm))
        .reverse(),
    acknowledge: async ({ alarmKey, occurrenceId }) =>
      (await service.post(`/api/alarms/${alarmKey}/acknowledge`, { occurrenceId }, headers)).status,
  };
}

const openMetrics = 'application/openmetrics-text; version=1.0.0';
