import type { AlarmView } from '@edge-margin/alarms';
import type { Effect, MonitoringModel, StationAssessment } from '@edge-margin/monitoring';
import type { OutboxMessage } from '@edge-margin/store-sqlite';
import { jsonOnce } from '../live/json-once.js';

/** Topic below which everything of one site is published. */
export function siteTopic(siteId: string): string {
  return `edge-margin/${siteId}`;
}

function stationTopic(model: MonitoringModel, winderId: string, stationId: string): string | undefined {
  const context = model.stations.get(`${winderId}/${stationId}`)?.context;
  return context === undefined
    ? undefined
    : `${siteTopic(context.siteId)}/${context.areaId}/${context.lineId}/${winderId}/${stationId}`;
}

/**
 * What an effect has to tell on MQTT without fail: each alarm transition, retained under the alarm's own topic, so that a listener that comes
 * later finds the alarm as it stands. The id is the transition's, so a replay sends nothing twice.
 */
export function outboxMessages(model: MonitoringModel | undefined, effect: Effect): readonly OutboxMessage[] {
  if (model === undefined || effect.kind !== 'alarm-transition') return [];
  const { alarm } = effect.transition;
  const station =
    alarm.mechanism === 'service'
      ? `${siteTopic(model.plant.site.id)}/service`
      : stationTopic(model, alarm.winderId, alarm.stationId);
  return station === undefined
    ? []
    : [
        {
          id: effect.id,
          topic: `${station}/alarm/${alarm.alarmKey}`,
          payload: JSON.stringify(alarm satisfies AlarmView),
          retain: true,
          qos: 1,
        },
      ];
}

/** The retained message of a station's latest assessment. Only the newest matters, so it does not go through the outbox. */
export function assessmentMessage(
  model: MonitoringModel | undefined,
  assessment: StationAssessment,
): Omit<OutboxMessage, 'id'> | undefined {
  const station =
    model === undefined ? undefined : stationTopic(model, assessment.winderId, assessment.stationId);
  return station === undefined
    ? undefined
    : { topic: `${station}/assessment`, payload: jsonOnce(assessment), retain: true, qos: 0 };
}
