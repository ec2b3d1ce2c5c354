import type { Programme } from '../scenario/scenario-schema.js';

/** Thread, run (ramps included), slow down to the set end, stand for the set change; stand or be broken in between. */
type Phase = 'thread' | 'run' | 'finish' | 'set-change' | 'stop' | 'break';

/** What interrupts a run. */
export type Interruption =
  | { readonly kind: 'stop'; readonly forS: number }
  | {
      readonly kind: 'break';
      readonly forS: number;
      readonly stopsMPerS2: number;
      readonly endsRoll: boolean;
    };

export interface LineState {
  readonly phase: Phase;
  /** Time left in a phase that ends by time: thread, set change, standing. */
  readonly leftS: number;
  readonly speedMPerS: number;
  /** What stops the line, while it does. */
  readonly interruption?: Interruption;
}

export interface LineDemand {
  /** Web still to come until the set end. */
  readonly remainingM: number;
  /** Operator's speed over the running speed. */
  readonly speedRatio: number;
  /** Something that stops the line now. */
  readonly interruption?: Interruption;
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
  if (demand.interruption !== undefined && from.phase !== 'set-change')
    return interrupted(programme, { ...from, interruption: demand.interruption }, durationS);
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
    case 'stop':
    case 'break':
      return interrupted(programme, from, durationS);
  }
}

/** Slows down to nothing, stands, and goes on: runs again after a stop, threads or ends the set after a break. */
function interrupted(programme: Programme, from: LineState, durationS: number): LineState {
  const { interruption } = from;
  if (interruption === undefined) return { phase: 'run', leftS: 0, speedMPerS: from.speedMPerS };
  const isBegin = from.phase !== interruption.kind;
  const slows = interruption.kind === 'break' ? interruption.stopsMPerS2 : programme.accelerationMPerS2;
  const speedMPerS = Math.max(0, from.speedMPerS - slows * durationS);
  const leftS = (isBegin ? interruption.forS : from.leftS) - (from.speedMPerS > 0 ? 0 : durationS);
  if (isBegin || speedMPerS > 0 || leftS >= durationS / 2)
    return { phase: interruption.kind, leftS, speedMPerS, interruption };
  if (interruption.kind === 'stop') return { phase: 'run', leftS: 0, speedMPerS: 0 };
  return interruption.endsRoll
    ? { phase: 'set-change', leftS: programme.setChangeS, speedMPerS: 0 }
    : beginLine(programme);
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
