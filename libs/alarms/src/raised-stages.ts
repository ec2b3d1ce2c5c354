import { type AlarmKeyState, alarmStages } from './alarm-state.js';
import type { AlarmStage } from './alarm-types.js';
import { type ConditionStep, initialCondition } from './condition.js';

export type StageSteps = Readonly<Partial<Record<AlarmStage, ConditionStep>>>;

/** Onset of each condition that is raised, epoch ms; null where it is not. */
export type Raised = Readonly<Record<AlarmStage, number | null>>;

/** The stage the alarm has reached, null where no condition is raised. */
export function presentStage(raised: Raised): AlarmStage | null {
  if (raised.reached !== null) return 'reached';
  return raised.foreseen === null ? null : 'foreseen';
}

/** The earliest onset of the conditions that are raised; `otherwiseMs` where none is. */
export function earliestOnset(raised: Raised, otherwiseMs: number): number {
  return Math.min(...alarmStages.map((stage) => raised[stage] ?? otherwiseMs));
}

/** The onsets before the steps. A stage that a new plant file took away has no step and no longer holds the alarm up. */
export function raisedBefore({ conditions }: AlarmKeyState, steps: StageSteps): Raised {
  const onset = (stage: AlarmStage) => {
    const { raised, sinceMs } = conditions[stage] ?? initialCondition;
    return raised && steps[stage] !== undefined ? sinceMs : null;
  };
  return { foreseen: onset('foreseen'), reached: onset('reached') };
}

/** The onsets after the events of one instant. */
export function raisedAfter(raised: Raised, steps: StageSteps, atMs: number): Raised {
  if (nothingHappens(steps)) return raised;
  const onset = (stage: AlarmStage) => {
    const event = steps[stage]?.events.findLast((one) => one.atMs === atMs);
    if (event === undefined) return raised[stage];
    return event.kind === 'raise' ? event.sinceMs : null;
  };
  return { foreseen: onset('foreseen'), reached: onset('reached') };
}

/** The conditions' states after their steps; those of stages that the definition no longer has are dropped. */
export function conditionsAfter(steps: StageSteps): AlarmKeyState['conditions'] {
  const { foreseen, reached } = steps;
  return {
    ...(foreseen === undefined ? {} : { foreseen: foreseen.state }),
    ...(reached === undefined ? {} : { reached: reached.state }),
  };
}

/** True where no delay of any stage ended: nearly always. */
export function nothingHappens({ foreseen, reached }: StageSteps): boolean {
  return (foreseen?.events.length ?? 0) === 0 && (reached?.events.length ?? 0) === 0;
}
