import type { AlarmDefinition, AlarmPriority, AlarmStage } from '@edge-margin/alarms';
import type { Reason } from '@edge-margin/units';

/**
 * Troubles of the service itself that call maintenance: one alarm each, in `service.{site}.{trouble}`.
 * A name, once in a journal, keeps its meaning.
 */
export const ownTroubles = [
  'disk-space',
  'store-failing',
  'journal-failing',
  'broker-disconnected',
  'broker-taken-over',
  'broker-refused',
  'broker-mute',
  'messages-lost',
  'certificate-expires',
  'replica-behind',
  'replica-refused',
  'outbox-waiting',
  'clock-jump',
  'event-loop',
] as const;
export type OwnTrouble = (typeof ownTroubles)[number];

/** How one trouble stands: `foreseen`, `reached`, or null where there is none, and what was seen. */
export interface TroubleSign {
  readonly trouble: OwnTrouble;
  readonly stage: AlarmStage | null;
  readonly because: Reason;
}

interface TroubleRule {
  /** The stages it has, with their priority. */
  readonly stages: Readonly<Partial<Record<AlarmStage, AlarmPriority>>>;
  /** It must be seen this long before it is reported, s. */
  readonly onDelayS: number;
  /** It must be gone this long before it is reported as over, s. */
  readonly offDelayS: number;
  /** What maintenance can do, one sentence. */
  readonly response: string;
}

/**
 * What is done about each trouble. Priorities, delays and limits are our own choice (no source): `high` where the service stops doing its
 * work or is about to, `medium` where something is being lost or not watched, `low` where it can wait for the day shift.
 */
const rules: Readonly<Record<OwnTrouble, TroubleRule>> = {
  'disk-space': {
    stages: { foreseen: 'medium', reached: 'high' },
    onDelayS: 5,
    offDelayS: 10,
    response:
      'free space on the disk that holds DATA_DIR, or move DATA_DIR to a larger one; when it is full, nothing more is acknowledged to the broker',
  },
  'store-failing': {
    stages: { reached: 'high' },
    onDelayS: 5,
    offDelayS: 5,
    response:
      'look at the disk that holds DATA_DIR: space, permissions, health; what comes in waits in the journal until the store takes it again, and no alarm of a winder is raised meanwhile',
  },
  'journal-failing': {
    stages: { reached: 'high' },
    onDelayS: 5,
    offDelayS: 5,
    response:
      'look at the disk that holds DATA_DIR: space, permissions, health; until the journal can be written nothing more is taken from the broker and no alarm of a winder is raised',
  },
  'broker-disconnected': {
    stages: { reached: 'medium' },
    onDelayS: 30,
    offDelayS: 5,
    response:
      'see that the broker runs and that its address, the network, the certificates and the password are right; what the broker keeps for us comes when it is back',
  },
  'broker-taken-over': {
    stages: { reached: 'medium' },
    onDelayS: 0,
    offDelayS: 30,
    response: 'find the other client that uses this service’s client id, and give one of them another id',
  },
  'broker-refused': {
    stages: { reached: 'medium' },
    onDelayS: 5,
    offDelayS: 5,
    response:
      'look at the broker’s access list and size limits for the user of this service: it must read the topics of the plant file and write below edge-margin/',
  },
  'broker-mute': {
    stages: { reached: 'medium' },
    onDelayS: 5,
    offDelayS: 5,
    response:
      'see whether the sources publish; if they do, the broker’s access list withholds their topics from this service, or the topics in the plant file are not theirs',
  },
  'messages-lost': {
    stages: { reached: 'low' },
    onDelayS: 0,
    offDelayS: 30,
    response:
      'see that the broker keeps sessions over a restart and queues enough messages for this service; the gap is recorded and cannot be filled from here',
  },
  'certificate-expires': {
    stages: { reached: 'low' },
    onDelayS: 0,
    offDelayS: 5,
    response: 'renew the certificate before it ends; after that the connection to the broker fails',
  },
  'replica-behind': {
    stages: { foreseen: 'low', reached: 'medium' },
    onDelayS: 60,
    offDelayS: 60,
    response:
      'see that InfluxDB runs, is reachable and keeps up; rows wait here up to the limits of age and size, and what exceeds them is missing there for good',
  },
  'replica-refused': {
    stages: { reached: 'medium' },
    onDelayS: 5,
    offDelayS: 5,
    response: 'look at InfluxDB’s database, retention policy and the rights of the user that writes',
  },
  'outbox-waiting': {
    stages: { reached: 'low' },
    onDelayS: 60,
    offDelayS: 10,
    response:
      'see that the broker lets this service publish below edge-margin/; alarms wait here and others do not hear of them over MQTT',
  },
  'clock-jump': {
    stages: { reached: 'low' },
    onDelayS: 0,
    offDelayS: 5,
    response:
      'see that this machine’s time synchronisation works and moves the clock slowly; readings without a time stamp of their own carry the wrong time',
  },
  'event-loop': {
    stages: { reached: 'medium' },
    onDelayS: 30,
    offDelayS: 30,
    response:
      'look at what else loads this machine, or give the service a faster one; assessments and pages come late',
  },
};

/** Delays of a trouble, s. */
export function troubleDelays(trouble: OwnTrouble): {
  readonly onDelayS: number;
  readonly offDelayS: number;
} {
  const { onDelayS, offDelayS } = rules[trouble];
  return { onDelayS, offDelayS };
}

/** What maintenance can do about a trouble. */
export function troubleResponse(trouble: OwnTrouble): string {
  return rules[trouble].response;
}

/** `service.{site}.{trouble}`: safe in an address and in a topic level. */
export function ownAlarmKey(siteId: string, trouble: OwnTrouble): string {
  return `service.${siteId}.${trouble}`;
}

export type OwnAlarmDefinitions = Readonly<Record<OwnTrouble, AlarmDefinition>>;

/** The service's own alarms. Delays are spent before a trouble is reported; here a stage is there (1) or not (0). */
export function ownAlarmDefinitions(
  siteId: string,
  revisions: { readonly modelRevision: string; readonly configurationRevision: string },
): OwnAlarmDefinitions {
  const entries = ownTroubles.map((trouble) => [trouble, definitionOf(siteId, trouble, revisions)] as const);
  return Object.fromEntries(entries) as OwnAlarmDefinitions;
}

function definitionOf(
  siteId: string,
  trouble: OwnTrouble,
  revisions: { readonly modelRevision: string; readonly configurationRevision: string },
): AlarmDefinition {
  const condition = { direction: 'high', setPoint: 1, deadband: 0, onDelayS: 0, offDelayS: 0 } as const;
  const stages = Object.fromEntries(
    Object.entries(rules[trouble].stages).map(([stage, priority]) => [stage, { priority, condition }]),
  );
  return {
    alarmKey: ownAlarmKey(siteId, trouble),
    winderId: '',
    stationId: '',
    mechanism: 'service',
    stages,
    ...revisions,
  };
}

/** Whether a word is the name of a trouble that this version knows. */
export function isOwnTrouble(word: string): word is OwnTrouble {
  return (ownTroubles as readonly string[]).includes(word);
}
