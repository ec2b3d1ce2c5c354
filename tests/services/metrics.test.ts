import type { AlarmsBody } from '@edge-margin/monitoring';
import type { MqttClient } from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from './support/eventually.js';
import { publishFilm } from './support/film-winder.js';
import { firstAdministrator, type SignedIn } from './support/first-administrator.js';
import { type MetricFamily, readOpenMetrics } from './support/open-metrics.js';
import { makeKey } from './support/people.js';
import { type ServedWinder, startServedWinder } from './support/served-winder.js';
import type { RunningService } from './support/service.js';

describe('the figures for collectors', () => {
  let served: ServedWinder;
  let service: RunningService;
  let gateway: MqttClient;
  let ada: SignedIn;
  let key = '';

  beforeAll(async () => {
    served = await startServedWinder();
    ({ service, gateway } = served);
    ada = await firstAdministrator(service);
    ({ key } = await makeKey(service, ada, 'collector', ['view-service-health']));
  });

  afterAll(() => served.dispose());

  const ask = (headers: Record<string, string> = {}): Promise<Response> =>
    fetch(`${service.url}/metrics`, { headers: { authorization: `Bearer ${key}`, ...headers } });
  const collect = async (): Promise<ReadonlyMap<string, MetricFamily>> =>
    readOpenMetrics(await (await ask()).text());
  const valueOf = (
    families: ReadonlyMap<string, MetricFamily>,
    family: string,
    labels: Record<string, string> = {},
    suffix = '',
  ): number | undefined =>
    families
      .get(`edge_margin_${family}`)
      ?.samples.find(
        (sample) =>
          (suffix === '' || sample.name.endsWith(suffix)) &&
          Object.entries(labels).every(([name, value]) => sample.labels[name] === value),
      )?.value;

  it('come as OpenMetrics 1.0 text that a strict reader takes', async () => {
    const response = await ask({ accept: 'application/openmetrics-text; version=1.0.0' });
    expect(response.status).toBe(200);
    expect(response.headers.get('content-type')).toBe(
      'application/openmetrics-text; version=1.0.0; charset=utf-8',
    );
    const families = readOpenMetrics(await response.text());
    expect([...families.keys()]).toEqual(
      expect.arrayContaining([
        'edge_margin_messages',
        'edge_margin_readings_not_used',
        'edge_margin_assessment_delay_seconds',
        'edge_margin_journal_waiting_rows',
        'edge_margin_journal_waiting_bytes',
        'edge_margin_journal_durable_delay_seconds',
        'edge_margin_store_commit_delay_seconds',
        'edge_margin_alarms',
        'edge_margin_event_loop_delay_seconds',
        'edge_margin_process_cpu_seconds',
        'edge_margin_process_resident_bytes',
        'edge_margin_build',
        'edge_margin_stations',
        'edge_margin_live_listeners',
        'edge_margin_outbox_waiting_messages',
        'edge_margin_disk_free_bytes',
        'edge_margin_part_state',
      ]),
    );
    expect(families.get('edge_margin_build')?.samples[0]?.labels).toMatchObject({ version: '0.1.0' });
  });

  it.each([
    ['a text without its end', (text: string) => text.replace('# EOF\n', '')],
    ['a counter without its suffix', (text: string) => text.replace(/_received_total/g, '_received')],
    [
      'an unknown type',
      (text: string) => text.replace('messages_received counter', 'messages_received tally'),
    ],
    [
      'a unit that the name lacks',
      (text: string) => text.replace(/^# UNIT (\S+) bytes$/m, '# UNIT $1 metres'),
    ],
    [
      'a family in two places',
      (text: string) => text.replace('# EOF', '# TYPE edge_margin_stations gauge\n# EOF'),
    ],
    ['buckets that fall', (text: string) => text.replace(/(le="\+Inf"\}) \d+/, '$1 -1')],
  ])('would not pass with %s', async (_what, spoil) => {
    const text = await (await ask()).text();
    expect(spoil(text)).not.toBe(text);
    expect(() => readOpenMetrics(spoil(text))).toThrow();
  });

  it('are not given in another form, nor to who may not see them', async () => {
    const other = await ask({ accept: 'text/plain;version=0.0.4' });
    expect(other.status).toBe(406);
    expect(other.headers.get('content-type')).toContain('application/problem+json');
    expect((await fetch(`${service.url}/metrics`)).status).toBe(401);
  });

  it('move with what comes in', async () => {
    const before = await collect();
    const startMs = Date.now() - 30_000;
    const published = await publishFilm(gateway, { startMs, from: 0, to: 150 });
    await gateway.publishAsync('mill/film-9/a/drive', 'no JSON', { qos: 1 });
    await gateway.publishAsync('mill/film-9/a/drive', '{"t":1,"v":"fast"}', { qos: 1 });
    const after = await eventually(async () => {
      const families = await collect();
      const rows = valueOf(families, 'messages_received') ?? 0;
      const folded = families.get('edge_margin_messages')?.samples.reduce((sum, { value }) => sum + value, 0);
      const isCounted = valueOf(families, 'readings_not_used', { reason: 'json-invalid' }) !== undefined;
      return rows >= published + 2 && folded === rows && isCounted ? families : undefined;
    }, 'every message counted');
    const grown = (family: string, labels: Record<string, string> = {}, suffix = ''): number =>
      (valueOf(after, family, labels, suffix) ?? NaN) - (valueOf(before, family, labels, suffix) ?? 0);
    expect(grown('messages_received')).toBe(published + 2);
    // What comes half a minute after its time is used in the series, and too late for the assessment.
    expect(grown('messages', { outcome: 'used' }) + grown('messages', { outcome: 'partly' })).toBe(published);
    expect(grown('messages', { outcome: 'not-used' })).toBe(2);
    expect(grown('readings_not_used', { reason: 'json-invalid' })).toBe(1);
    expect(grown('journal_rows', { kind: 'message' })).toBe(published + 2);
    expect(grown('assessment_delay_seconds', {}, '_count')).toBeGreaterThan(0);
    expect(grown('store_commit_delay_seconds', {}, '_count')).toBeGreaterThan(0);
    expect(grown('journal_durable_delay_seconds', {}, '_count')).toBeGreaterThan(0);
    expect(grown('process_cpu_seconds')).toBeGreaterThan(0);
    expect(valueOf(after, 'stations')).toBe(1);
    expect(valueOf(after, 'disk_free_bytes')).toBeGreaterThan(1e6);
    expect(valueOf(after, 'process_resident_bytes')).toBeGreaterThan(30e6);
    expect(valueOf(after, 'part_state', { part: 'broker', edge_margin_part_state: 'ok' })).toBe(1);
  });

  it('count the alarms that are open, by state and priority', async () => {
    const [families, open] = await eventually(async () => {
      const { alarms } = await service.json<AlarmsBody>('/api/alarms');
      const counted = (await collect()).get('edge_margin_alarms')?.samples ?? [];
      const sum = counted.reduce((all, { value }) => all + value, 0);
      return alarms.length > 0 && sum === alarms.length ? ([counted, alarms] as const) : undefined;
    }, 'an alarm, counted');
    expect(families).toHaveLength(9);
    for (const { labels, value } of families)
      expect(value).toBe(
        open.filter(({ state, priority }) => state === labels['state'] && priority === labels['priority'])
          .length,
      );
  });

  it('count who listens to the live stream, for as long as they do', async () => {
    const abort = new AbortController();
    const stream = await fetch(`${service.url}/api/live`, { headers: ada.headers, signal: abort.signal });
    expect(stream.status).toBe(200);
    await eventually(
      async () => (valueOf(await collect(), 'live_listeners') === 1 ? true : undefined),
      'one listener',
    );
    abort.abort();
    await eventually(
      async () => (valueOf(await collect(), 'live_listeners') === 0 ? true : undefined),
      'no listener',
    );
  });
});
