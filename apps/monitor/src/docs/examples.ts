import type { AssessRequest } from '@edge-margin/air-film';
import type { AlarmView } from '@edge-margin/alarms';
import type {
  AcknowledgeBody,
  AcknowledgeRequest,
  AlarmsBody,
  NewKeyRequest,
  NewPersonRequest,
  ReadinessBody,
  ServiceHealthBody,
  SignInRequest,
} from '@edge-margin/monitoring';
import type { Problem } from '../http/problem.js';

// Invented winders, people and figures.

const alarm: AlarmView = {
  alarmKey: 'film-9.a.air',
  occurrenceId: 'film-9.a.air@1793000120000',
  winderId: 'film-9',
  stationId: 'a',
  mechanism: 'air',
  stage: 'foreseen',
  state: 'UNACK',
  priority: 'medium',
  because: {
    code: 'boundary-ahead',
    text: 'the wraps will be free to move from 231 mm on, in 48 s at the earliest',
    params: { diameterM: 0.231, secondsAhead: 48 },
  },
  response: 'lower the speed to 540 m/min before 228 mm',
  conditionSinceMs: 1793000120000,
  raisedAtMs: 1793000123000,
  clearedAtMs: null,
  acknowledged: null,
  inputQuality: 'good',
};

const serviceAlarm: AlarmView = {
  ...alarm,
  alarmKey: 'service.lakeside.disk-space',
  occurrenceId: 'service.lakeside.disk-space@1793000000000',
  winderId: '',
  stationId: '',
  mechanism: 'service',
  because: {
    code: 'disk-filling',
    text: '8.40 GB (8.4 %) are free on the disk that holds DATA_DIR',
    params: { freeBytes: 8.4e9, sizeBytes: 1e11 },
  },
  response: 'free space on the disk that holds DATA_DIR, or move DATA_DIR to a larger one',
};

/** Examples by the type of the contract; each is checked by the compiler and by the linter of the description. */
export const examples: Readonly<Record<string, object>> = {
  AlarmsBody: { alarms: [alarm, serviceAlarm] } satisfies AlarmsBody,
  AcknowledgeRequest: {
    occurrenceId: alarm.occurrenceId,
    comment: 'slowing down at the next splice',
  } satisfies AcknowledgeRequest,
  AcknowledgeBody: {
    alarm: {
      ...alarm,
      state: 'ACKED',
      acknowledged: { atMs: 1793000130000, actor: 'Rosa', comment: 'slowing down at the next splice' },
    },
  } satisfies AcknowledgeBody,
  AssessRequest: {
    web: { widthM: 1.2, caliperM: 60e-6, combinedRoughnessM: 0.6e-6, permeanceMPerPaS: 0 },
    nip: { rollerDiameterM: 0.12, coverModulusPa: 3e6, coverPoissonRatio: 0.5, loadNPerM: 300 },
    running: { speedMPerS: 9, rollDiameterM: 0.2, tensionNPerM: 100 },
  } satisfies AssessRequest,
  SignInRequest: { name: 'Rosa', password: 'a long word that only Rosa knows' } satisfies SignInRequest,
  NewPersonRequest: {
    name: 'Rosa',
    role: 'operator',
    password: 'a long word that only Rosa knows',
  } satisfies NewPersonRequest,
  NewKeyRequest: {
    label: 'collector of figures',
    actions: ['view-service-health'],
    validDays: 365,
  } satisfies NewKeyRequest,
  ReadinessBody: {
    status: 'warn',
    because: [
      {
        part: 'replica',
        status: 'warn',
        code: 'replica-unreachable',
        because: 'InfluxDB gives no answer',
      },
    ],
  } satisfies ReadinessBody,
  ServiceHealthBody: {
    nowMs: 1793000200000,
    startedAtMs: 1792990000000,
    version: '0.1.0',
    state: 'degraded',
    parts: [
      {
        part: 'disk',
        state: 'degraded',
        sinceMs: 1793000000000,
        because: [serviceAlarm.because],
        figures: [{ name: 'free-bytes', label: 'free', value: 8.4e9, unit: 'By' }],
      },
    ],
    alarms: [serviceAlarm],
  } satisfies ServiceHealthBody,
  Problem: {
    type: 'about:blank',
    title: 'The request cannot be used',
    status: 400,
    detail: 'limit: at most 1000',
    errors: [{ pointer: 'limit', detail: 'at most 1000' }],
  } satisfies Problem,
};
