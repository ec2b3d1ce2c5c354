import type { Programme } from '../scenario/scenario-schema.js';

/** Thread, run (ramps included), slow down to the set end, stand for the set change. */
type Phase = 'thread' | 'run' | 'finish' | 'set-change';

export interface LineState {
  readonly phase: Phase;
  /** Time left in a phase that ends by time: thread and set change. */
  readonly leftS: number;
  readonly speedMPerS: number;
}

export interface LineDemand {
  /** Web still to come until the set end. */
  readonly remainingM: number;
  /** Operator's speed over the running speed. */
  readonly speedRatio: number;
}

export function beginLine(programme: Programme): LineState {
  return { phase: 'thread', leftS: programme.threadS, speedMPerS: 0 };
}

/** The line after `durationS` more seconds; phases change at the ends of periods. */
export function advanceLine(
  programme: Programme,
  from: LineState,
  demand: LineDemand,
  durationS: number,
): LineState {
  const change = programme.accelerationMPerS2 * durationS;
  const towards = (target: number): number =>
    from.speedMPerS < target
      ? Math.min(target, from.speedMPerS + change)
      : Math.max(target, from.speedMPerS - change);
  const leftS = from.leftS - durationS;
  const isOver = leftS < durationS / 2;
  switch (from.phase) {
    case 'set-change':
      return isOver ? beginLine(programme) : { phase: 'set-change', leftS, speedMPerS: 0 };
    case 'thread': {
      const speedMPerS = towards(programme.threadSpeedMPerS);
      return isOver ? { phase: 'run', leftS: 0, speedMPerS } : { phase: 'thread', leftS, speedMPerS };
    }
    case 'run': {
      const speedMPerS = towards(programme.runSpeedMPerS * demand.speedRatio);
      const isNear =
        demand.remainingM <= stoppingM(programme, from.speedMPerS) + 2 * from.speedMPerS * durationS;
      return isNear ? slowed(programme, from, demand, durationS) : { phase: 'run', leftS: 0, speedMPerS };
    }
    case 'finish':
      return slowed(programme, from, demand, durationS);
  }
}

/** Slows so that speed and remaining web reach nothing together: `a = v^2/(2 L)`; stands when one more period would end it. */
function slowed(programme: Programme, from: LineState, demand: LineDemand, durationS: number): LineState {
  const v = from.speedMPerS;
  const lost = demand.remainingM > 0 ? ((v * v) / (2 * demand.remainingM)) * durationS : v;
  const crawl = programme.threadSpeedMPerS / 10;
  if (v - lost <= crawl) return { phase: 'set-change', leftS: programme.setChangeS, speedMPerS: 0 };
  return { phase: 'finish', leftS: 0, speedMPerS: v - lost };
}

function stoppingM(programme: Programme, speedMPerS: number): number {
  return (speedMPerS * speedMPerS) / (2 * programme.accelerationMPerS2);
}
