import {
  type AlarmDefinition,
  type AlarmKeyState,
  type AlarmTransition,
  alarmView,
  type AlarmView,
  initialAlarm,
  stepAlarm,
} from '@edge-margin/alarms';
import type { StationContext } from '@edge-margin/plant';
import { type Quantity, type Reason, reason } from '@edge-margin/units';
import type { StationAssessment } from './assessment.js';
import { figure, signalWord } from './words.js';

/** The alarms of one station: one key per mechanism. To add one, add an entry here and a value for each of its stages in {@link alarmSamples}. */
export type StationAlarmName = 'air' | 'nip' | 'signal';

/** `winder.station.mechanism`: safe in an address and in a topic level. */
export function alarmKey(context: StationContext, name: StationAlarmName): string {
  return `${context.winder.id}.${context.station.id}.${name}`;
}

/** What each of a station's alarms watches for, from the plant file's limits. */
export function alarmDefinitions(
  context: StationContext,
  revisions: { readonly modelRevision: string; readonly configurationRevision: string },
): Readonly<Record<StationAlarmName, AlarmDefinition>> {
  const { edgeRisk, nipBounce } = context.limits;
  const of = (mechanism: StationAlarmName, stages: AlarmDefinition['stages']): AlarmDefinition => ({
    alarmKey: alarmKey(context, mechanism),
    winderId: context.winder.id,
    stationId: context.station.id,
    mechanism,
    stages,
    ...revisions,
  });
  const edgeDelays = { onDelayS: edgeRisk.onDelayS, offDelayS: edgeRisk.offDelayS };
  const nipDelays = { onDelayS: nipBounce.onDelayS, offDelayS: nipBounce.offDelayS };
  return {
    air: of('air', {
      // Seconds to the earliest boundary.
      foreseen: {
        priority: 'medium',
        condition: {
          direction: 'low',
          setPoint: edgeRisk.lookAheadS,
          deadband: edgeRisk.lookAheadS * edgeRisk.deadband,
          ...edgeDelays,
        },
      },
      // Chance that the wraps wound now are free to move.
      reached: {
        priority: 'high',
        condition: {
          direction: 'high',
          setPoint: edgeRisk.reached,
          deadband: edgeRisk.deadband,
          ...edgeDelays,
        },
      },
    }),
    nip: of('nip', {
      // Bounce indicator as a share of its limit.
      foreseen: {
        priority: 'medium',
        condition: { direction: 'high', setPoint: 1, deadband: nipBounce.deadbandRatio, ...nipDelays },
      },
      // Evidence of lift-off: 0 or 1.
      reached: { priority: 'high', condition: { direction: 'high', setPoint: 1, deadband: 0, ...nipDelays } },
    }),
    signal: of('signal', {
      // Number of expected signals that have gone stale.
      reached: {
        priority: 'low',
        condition: { direction: 'high', setPoint: 1, deadband: 0, onDelayS: 0, offDelayS: 5 },
      },
    }),
  };
}

interface AlarmSampleOf {
  readonly values: Readonly<Partial<Record<'foreseen' | 'reached', number | 'stale'>>>;
  readonly because: Reason;
  readonly response: string;
}

/** The values that one assessment gives each alarm. A grade that nobody has activated calls nobody: its air and nip alarms see nothing abnormal. */
export function alarmSamples(
  assessment: StationAssessment,
  actions: { readonly air: string; readonly nip: string },
): Readonly<Record<StationAlarmName, AlarmSampleOf>> {
  return {
    air: airSample(assessment, actions.air),
    nip: nipSample(assessment, actions.nip),
    signal: signalSample(assessment),
  };
}

const nothingAir = { foreseen: Infinity, reached: 0 } as const;
const nothingNip = { foreseen: 0, reached: 0 } as const;
const stale = { foreseen: 'stale', reached: 'stale' } as const;

function airSample(assessment: StationAssessment, response: string): AlarmSampleOf {
  const { roll, grade, risk, forecast, air } = assessment;
  const called = roll !== null && grade.activated;
  if (risk.air.kind === 'unknown') {
    return { values: called ? stale : nothingAir, because: risk.air.because, response };
  }
  const earliest = called ? forecast.boundary?.earliest : undefined;
  if (earliest === undefined) {
    const values = called ? { foreseen: Infinity, reached: risk.air.value } : nothingAir;
    return { values, because: airInHandAgain(air.marginRatio), response };
  }
  const foreseen = (earliest.atMs - assessment.atMs) / 1000;
  return { values: { foreseen, reached: risk.air.value }, because: assessment.state.because, response };
}

function airInHandAgain(margin: Quantity): Reason {
  const share = margin.kind === 'known' ? `, margin ${figure('ratio', margin.value, 'metric')}` : '';
  // Shown only on an alarm that has been raised: it says first what the alarm was about.
  return reason('air-in-hand', `wraps free to move: no longer, air is in hand again${share}`);
}

function nipSample(assessment: StationAssessment, response: string): AlarmSampleOf {
  const { roll, grade, nip } = assessment;
  const because = reason(nip.because.code, `nip: ${nip.because.text}`, nip.because.params);
  if (roll === null || !grade.activated) return { values: nothingNip, because, response };
  if (nip.inHandRatio.kind === 'unknown') return { values: stale, because, response };
  const reached = nip.ends.some((end) => end.contactLost) ? 1 : 0;
  return { values: { foreseen: 1 - nip.inHandRatio.value, reached }, because, response };
}

function signalSample(assessment: StationAssessment): AlarmSampleOf {
  const stale = assessment.inputs.filter((input) => input.quality === 'stale');
  const words = stale.map((input) => signalWord(input.signal, input.end)).join(', ');
  return {
    values: { reached: stale.length },
    because: reason(
      'signals-stale',
      stale.length === 0 ? 'every expected signal comes again' : `no fresh readings of ${words}`,
      { count: stale.length },
    ),
    response:
      stale.length === 0
        ? 'It is back; see why it was away before it goes again'
        : 'Look at the sensor, its gateway and the network; until it is back this station is not watched',
  };
}

export interface AlarmsStep {
  readonly alarms: Readonly<Record<string, AlarmKeyState>>;
  readonly transitions: readonly AlarmTransition[];
  /** Alarms whose words or input quality changed without a transition. */
  readonly changedViews: readonly AlarmView[];
}

/** Steps every alarm of the station with one assessment. */
export function stepStationAlarms(
  definitions: Readonly<Record<StationAlarmName, AlarmDefinition>>,
  alarms: Readonly<Record<string, AlarmKeyState>>,
  atMs: number,
  samples: Readonly<Record<StationAlarmName, AlarmSampleOf>>,
): AlarmsStep {
  const after: Record<string, AlarmKeyState> = { ...alarms };
  const transitions: AlarmTransition[] = [];
  const changedViews: AlarmView[] = [];
  for (const name of Object.keys(definitions) as StationAlarmName[]) {
    const definition = definitions[name];
    const before = alarms[definition.alarmKey] ?? initialAlarm;
    const { values, because, response } = samples[name];
    const step = stepAlarm(definition, before, { kind: 'sample', atMs, values, because, response });
    after[definition.alarmKey] = step.state;
    transitions.push(...step.transitions);
    if (step.transitions.length > 0 || isQuiet(step.state)) continue;
    const view = alarmView(definition, step.state);
    if (view !== null && wordsChanged(alarmView(definition, before), view)) changedViews.push(view);
  }
  return { alarms: after, transitions, changedViews };
}

/** Nothing of the alarm stands: it is neither active nor to be acknowledged. */
function isQuiet({ flags, occurrence }: AlarmKeyState): boolean {
  return occurrence === null || (!flags.active && flags.acknowledged);
}

function wordsChanged(before: AlarmView | null, after: AlarmView): boolean {
  return (
    before?.because.text !== after.because.text ||
    before.response !== after.response ||
    before.inputQuality !== after.inputQuality
  );
}
