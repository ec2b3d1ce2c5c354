import type { AlarmView } from '@edge-margin/alarms';
import type { StationAssessment } from './assessment.js';

/** Payloads that the service publishes over MQTT, below `edge-margin/{site}/`; JSON. */

/** `status`, retained: whether the service is there. `false` is also the will: the broker says it when the service vanishes. */
export interface StatusMessage {
  readonly online: boolean;
}

/** `{area}/{line}/{winder}/{station}/assessment`, retained: the latest assessment of a station. */
export type AssessmentMessage = StationAssessment;

/** `{area}/{line}/{winder}/{station}/alarm/{alarmKey}` and `service/alarm/{alarmKey}`, retained: an alarm after its latest transition. */
export type AlarmMessage = AlarmView;
