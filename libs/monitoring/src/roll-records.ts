import type { RollRecord, RollTrackerStep } from '@edge-margin/roll-geometry';
import { valueOf } from '@edge-margin/units';
import type { Effect } from './effect.js';
import type { StationModel } from './model.js';
import type { StationState } from './station-state.js';
import { emptyWoundRisk, highestRisk, type WoundRisk } from './wound-risk.js';

/** The name of a roll: station and event time of its start. Equal in every replay. */
export function rollIdOf(model: StationModel, startedAtMs: number): string {
  const { winder, station } = model.context;
  return `${winder.id}.${station.id}@${startedAtMs}`;
}

export interface RollsStep {
  readonly openRoll: StationState['openRoll'];
  readonly wound: WoundRisk | null;
  readonly effects: readonly Effect[];
}

/** Opens and closes roll records as the tracker tells. */
export function recordRolls(
  model: StationModel,
  state: Pick<StationState, 'openRoll' | 'wound' | 'gradeId'>,
  step: RollTrackerStep,
  setEndDiameterM: number,
): RollsStep {
  let { openRoll, wound } = state;
  const effects: Effect[] = [];
  for (const event of step.events) {
    if (event.kind === 'ended' && openRoll !== null) {
      const figures = {
        endDiameterM: valueOf(event.diameterM) ?? null,
        woundLengthM: valueOf(event.woundLengthM) ?? null,
        wrapCount: valueOf(event.wrapCount) ?? null,
      };
      const highest = wound === null ? null : highestRisk(wound);
      effects.push(
        rollEffect(
          {
            ...opened(model, state.gradeId, openRoll),
            endedAtMs: event.atMs,
            ...figures,
            highestRisk: highest,
          },
          'ended',
        ),
      );
      [openRoll, wound] = [null, null];
    } else if (event.kind === 'started') {
      openRoll = {
        rollId: rollIdOf(model, event.atMs),
        startedAtMs: event.atMs,
        startUnknown: !event.startSeen,
      };
      wound = emptyWoundRisk(model.context.station.coreDiameterM, setEndDiameterM);
      effects.push(rollEffect(opened(model, state.gradeId, openRoll), 'started'));
    }
  }
  return { openRoll, wound, effects };
}

function opened(
  model: StationModel,
  gradeId: string,
  openRoll: NonNullable<StationState['openRoll']>,
): RollRecord {
  const { winder, station } = model.context;
  return {
    rollId: openRoll.rollId,
    winderId: winder.id,
    stationId: station.id,
    gradeId,
    startedAtMs: openRoll.startedAtMs,
    startUnknown: openRoll.startUnknown,
    endedAtMs: null,
    coreDiameterM: station.coreDiameterM,
    endDiameterM: null,
    woundLengthM: null,
    wrapCount: null,
    highestRisk: null,
  };
}

function rollEffect(roll: RollRecord, kind: 'started' | 'ended'): Effect {
  return { kind: 'roll', id: `${roll.rollId}:${kind}`, roll };
}
