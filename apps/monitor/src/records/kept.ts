import type { KeptView } from '@edge-margin/monitoring';
import { type RolledResolution, rolledResolutions } from '@edge-margin/series';
import { mostAuditRows } from '../door/audit-log.js';
import type { InfluxSettings } from '../settings/influx-settings.js';
import type { KeepingSettings } from '../settings/keeping-settings.js';

const lengths: Readonly<Record<RolledResolution, string>> = { '10s': '10 s', '1min': 'minute', '1h': 'hour' };

/** What is kept how long, as the settings in force say, for people and programs. */
export function keptViews(
  keeping: KeepingSettings,
  influx: Pick<InfluxSettings, 'rollUpsMs'> | undefined,
): readonly KeptView[] {
  return [
    here('raw-series', 'series as they came', keeping.rawSeriesMs, 'KEEP_RAW_SERIES_DAYS', {
      value: keeping.seriesMaxBytes,
      unit: 'By',
    }),
    ...rolledResolutions.map((resolution) =>
      here(
        `roll-ups-${resolution}`,
        rollUpLabel(resolution),
        keeping.rollUpsMs[resolution],
        `KEEP_ROLL_UPS_${resolution.toUpperCase()}_DAYS`,
      ),
    ),
    here('journal', 'journal of all that came in', keeping.journalMs, 'KEEP_JOURNAL_DAYS'),
    here('records', 'alarm journal, rolls and gaps', null, null),
    here('audit', 'audit', keeping.auditMs, 'KEEP_AUDIT_DAYS', { value: mostAuditRows, unit: 'count' }),
    here('sent-messages', 'messages that were sent', keeping.sentMessagesMs, 'KEEP_SENT_MESSAGES_DAYS'),
    ...(influx === undefined ? [] : inInflux(keeping, influx)),
  ];
}

function inInflux(keeping: KeepingSettings, influx: Pick<InfluxSettings, 'rollUpsMs'>): readonly KeptView[] {
  return [
    here('uncopied', 'what waits to be copied to InfluxDB', keeping.uncopiedMs, 'KEEP_UNCOPIED_DAYS', {
      value: keeping.uncopiedMaxRows,
      unit: 'count',
    }),
    ...rolledResolutions.map((resolution): KeptView => ({
      name: `influxdb-roll-ups-${resolution}`,
      label: rollUpLabel(resolution),
      where: 'influxdb',
      keptMs: influx.rollUpsMs[resolution],
      atMost: null,
      setting: `INFLUX_ROLL_UPS_${resolution.toUpperCase()}_DAYS`,
    })),
  ];
}

function here(
  name: string,
  label: string,
  keptMs: number | null,
  setting: string | null,
  atMost: KeptView['atMost'] = null,
): KeptView {
  return { name, label, where: 'here', keptMs, atMost, setting };
}

function rollUpLabel(resolution: RolledResolution): string {
  return `lowest, highest, mean and last of every ${lengths[resolution]}`;
}
