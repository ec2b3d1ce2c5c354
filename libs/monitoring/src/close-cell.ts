import { valueOf } from '@edge-margin/units';
import { assessStation } from './assess-station.js';
import type { StationAssessment } from './assessment.js';
import { type Cell, signalKey } from './cell.js';
import { derivedSamples } from './derived-samples.js';
import type { Effect } from './effect.js';
import { gradeNow } from './grade-now.js';
import { cellEndMs } from './grid.js';
import { inputQuantity, type Inputs } from './inputs.js';
import { latestAfter } from './latest-after.js';
import type { StationModel } from './model.js';
import { rollNow } from './roll-now.js';
import { recordRolls } from './roll-records.js';
import { alarmSamples, stepStationAlarms } from './station-alarms.js';
import type { StationState } from './station-state.js';

/** Speeds kept to tell a steady run from a ramp, cells. */
const speedsKept = 5;

/** Closes one cell of the event-time grid: the roll, the assessment and the alarms each take one step. The state's own cells are not looked at. */
export function closeCell(
  model: StationModel,
  state: StationState,
  cell: Cell,
  index: number,
  linkDownSinceMs: number | null,
): { readonly state: StationState; readonly effects: readonly Effect[] } {
  const atMs = cellEndMs(index);
  const { limits } = model.context;
  const latest = latestAfter(state.latest, cell);
  const inputs: Inputs = {
    latest,
    mapped: model.mapped,
    atMs,
    staleAfterPeriods: limits.stale.afterPeriods,
    linkDownSinceMs,
  };
  const grade = gradeNow(model, inputs);
  const setEndDiameterM =
    valueOf(inputQuantity(inputs, 'setEndDiameter')) ??
    grade.grade.setEndDiameterM ??
    model.context.winder.limits.diameterM.max;
  const roll = rollNow(model, state, cell, inputs, grade.grade);
  const rolls = recordRolls(
    model,
    { openRoll: state.openRoll, wound: state.wound, gradeId: grade.grade.id },
    roll,
    setEndDiameterM,
  );
  const speed = cell[signalKey('speed', 'both')]?.value;
  const speeds = typeof speed === 'number' ? [...state.speeds.slice(1 - speedsKept), speed] : state.speeds;
  const { assessment, wound, woundInAir } = assessStation({
    model,
    inputs,
    cell,
    gradeNow: grade,
    roll,
    rollId: rolls.openRoll?.rollId ?? null,
    speeds,
    wound: rolls.wound,
    woundInAir: state.woundInAir,
    setEndDiameterM,
  });
  const alarms = stepStationAlarms(
    model.alarms,
    state.alarms,
    atMs,
    alarmSamples(assessment, responses(assessment)),
  );
  const { stationKey } = model.context;
  const effects: Effect[] = [];
  for (const because of roll.notUsed) {
    const notUsed = { because, topic: '', arrivedAtMs: atMs, atMs, stationKey, sample: '' };
    effects.push({ kind: 'not-used', notUsed });
  }
  effects.push(
    ...rolls.effects,
    { kind: 'samples', samples: derivedSamples(assessment) },
    { kind: 'assessment', id: `${stationKey}@${atMs}:assessment`, assessment },
  );
  for (const transition of alarms.transitions)
    effects.push({ kind: 'alarm-transition', id: transition.id, transition });
  for (const view of alarms.changedViews) effects.push({ kind: 'alarm-view', view });
  return {
    state: {
      ...state,
      closedCell: index,
      latest,
      gradeId: grade.grade.id,
      roll: roll.state,
      openRoll: rolls.openRoll,
      wound,
      ...(woundInAir === undefined ? {} : { woundInAir }),
      speeds,
      alarms: alarms.alarms,
    },
    effects,
  };
}

/** What an operator can do about each mechanism, within the machine's limits and the site's rules. */
function responses({ remedy, nip }: StationAssessment): { readonly air: string; readonly nip: string } {
  const air =
    remedy === null
      ? 'Lower the speed or raise the nip load, within the limits of the machine'
      : sentence(remedy.because.text);
  const lifted = nip.ends.some((end) => end.contactLost);
  return {
    air,
    nip: lifted
      ? 'The stop rule of the site comes first; then change the speed by some per cent, away from the resonance, or raise the nip load within the limits of the machine'
      : 'Change the speed by some per cent, away from the resonance, or raise the nip load, within the limits of the machine',
  };
}

function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
