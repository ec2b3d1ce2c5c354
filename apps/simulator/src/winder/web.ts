import { PI } from '../math/portable-math.js';
import { seedStream } from '../random/seed-stream.js';
import type { Line, Unwind } from '../scenario/scenario-schema.js';
import { advanceLine, beginLine, type Interruption, type LineState } from './line.js';
import type { Moment } from './station-model.js';
import { advanceWander, beginWander, type Wander } from './wander.js';

/** The one web of a winder's line between two sample periods: plain data. */
export interface WebState {
  readonly line: LineState;
  readonly speedMPerS: number;
  /** Web since the start of the run. */
  readonly webM: number;
  readonly speedWander: Wander;
  readonly pathWander: Wander;
  readonly unwind: UnwindState | null;
  /** What the guide has taken out. */
  readonly guidedM: number;
  readonly pathM: number;
  /** Sideways steps of splices that nothing has taken out. */
  readonly splicedM: number;
  /** Numbers of the events that are over: in this run, in this set. */
  readonly done: readonly string[];
}

export interface UnwindState {
  readonly diameterM: number;
  /** Turns since the start of the run. */
  readonly turns: number;
}

export type LineEvent =
  | { readonly kind: 'splice'; readonly thicknessM: number }
  | { readonly kind: 'stop' }
  | { readonly kind: 'web-break' };

/** What the line does to all stations during one sample period. */
export interface WebPeriod {
  readonly line: LineState;
  readonly speedMPerS: { readonly from: number; readonly to: number };
  readonly webM: { readonly from: number; readonly to: number };
  /** Sideways place of the web before the slitter, less what turns once per turn of something. */
  readonly pathM: { readonly from: number; readonly to: number };
  readonly unwind: {
    readonly fromTurns: number;
    readonly toTurns: number;
    readonly diameterM: number;
  } | null;
  readonly events: readonly LineEvent[];
}

/** What rolls and crew of all stations ask of the line together. */
export interface WebDemand {
  readonly remainingM: number;
  readonly speedRatio: number;
  /** Diameter of the largest roll. */
  readonly diameterM: number;
  /** What a wrap is thick. */
  readonly caliperM: number;
  /** No roll is being wound. */
  readonly isBetweenSets: boolean;
}

export function beginWeb(winder: string, line: Line, seed: number): WebState {
  const stream = (purpose: string) => seedStream(seed, `${winder}/line/${purpose}`);
  const pathWander = beginWander(line.web.wander, stream('path'));
  return {
    line: beginLine(line.programme),
    speedMPerS: 0,
    webM: 0,
    speedWander: beginWander(line.speedWander, stream('speed')),
    pathWander,
    unwind: line.unwind === undefined ? null : { diameterM: line.unwind.diameterM, turns: 0 },
    guidedM: 0,
    pathM: pathWander.value,
    splicedM: 0,
    done: [],
  };
}

/** One sample period of the line: events, speed, unwinding roll, where the web lies. */
export function advanceWeb(
  line: Line,
  from: WebState,
  demand: WebDemand,
  now: Moment,
  durationS: number,
): { readonly state: WebState; readonly period: WebPeriod } {
  const due = dueEvents(line, from, demand, now);
  const run = advanceLine(
    line.programme,
    from.line,
    {
      remainingM: demand.remainingM,
      speedRatio: demand.speedRatio,
      ...(due.interruption === null ? {} : { interruption: due.interruption }),
    },
    durationS,
  );
  const speedWander = advanceWander(from.speedWander, line.speedWander, durationS);
  const speedMPerS = { from: from.speedMPerS, to: Math.max(0, run.speedMPerS * (1 + speedWander.value)) };
  const isHeld = run.phase === 'break' || demand.isBetweenSets;
  const passedM = isHeld ? 0 : ((speedMPerS.from + speedMPerS.to) / 2) * durationS;
  const unwound = unwind(line.unwind, from.unwind, passedM, demand.caliperM);
  const pathWander = advanceWander(from.pathWander, line.web.wander, durationS);
  const splicedM = from.splicedM + due.offsetM;
  const endS = now.atS + durationS;
  const freeM =
    pathWander.value +
    splicedM +
    (line.web.driftMPerHour * endS) / 3600 +
    line.web.steps.reduce((sum, step) => sum + (step.atS <= endS ? step.m : 0), 0);
  const guidedM = passedM > 0 ? guided(line, from.guidedM, freeM, endS, durationS) : from.guidedM;
  const pathM = { from: from.pathM, to: freeM - guidedM };
  const webM = { from: from.webM, to: from.webM + passedM };
  const period: WebPeriod = {
    line: run,
    speedMPerS,
    webM,
    pathM,
    unwind:
      unwound === null || from.unwind === null
        ? null
        : { fromTurns: from.unwind.turns, toTurns: unwound.state.turns, diameterM: unwound.state.diameterM },
    events: [
      ...due.events,
      ...(unwound?.isNew === true ? [{ kind: 'splice', thicknessM: 1e-4 } as const] : []),
    ],
  };
  return {
    state: {
      line: run,
      speedMPerS: speedMPerS.to,
      webM: webM.to,
      speedWander,
      pathWander,
      unwind: unwound?.state ?? null,
      guidedM,
      pathM: pathM.to,
      splicedM,
      done: demand.isBetweenSets ? due.done.filter((one) => one.startsWith('run/')) : due.done,
    },
    period,
  };
}

interface Due {
  readonly interruption: Interruption | null;
  readonly events: readonly LineEvent[];
  readonly offsetM: number;
  readonly done: readonly string[];
}

/** Splices, stops and breaks whose moment has come; each once in a run, or once a set where a diameter is given. */
function dueEvents(line: Line, from: WebState, demand: WebDemand, now: Moment): Due {
  const done = [...from.done];
  const events: LineEvent[] = [];
  let interruption: Interruption | null = null;
  let offsetM = 0;
  const isDue = (at: Line['stops'][number]['at'], name: string): boolean => {
    if (demand.isBetweenSets) return false;
    const key = `${'atS' in at ? 'run' : 'set'}/${name}`;
    if (done.includes(key)) return false;
    if ('atS' in at ? now.atS < at.atS : demand.diameterM < at.diameterM) return false;
    done.push(key);
    return true;
  };
  line.splices.forEach((splice, i) => {
    if (!isDue(splice.at, `splice/${i}`)) return;
    events.push({ kind: 'splice', thicknessM: splice.thicknessM });
    offsetM += splice.offsetM;
  });
  if (from.line.phase === 'run') {
    line.stops.forEach((stop, i) => {
      if (interruption !== null || !isDue(stop.at, `stop/${i}`)) return;
      interruption = { kind: 'stop', forS: stop.forS };
      events.push({ kind: 'stop' });
    });
    line.breaks.forEach((one, i) => {
      if (interruption !== null || !isDue(one.at, `break/${i}`)) return;
      interruption = {
        kind: 'break',
        forS: one.forS,
        stopsMPerS2: one.stopsMPerS2,
        endsRoll: one.roll === 'ends',
      };
      events.push({ kind: 'web-break' });
    });
  }
  return { interruption, events, offsetM, done };
}

/** The guide follows an error beyond its deadband, first order, no faster than it can; its sensor drifts. */
function guided(line: Line, guidedM: number, freeM: number, atS: number, durationS: number): number {
  const { guide } = line;
  if (guide === undefined) return 0;
  const errorM = freeM - guidedM + (guide.driftMPerHour * atS) / 3600;
  if (Math.abs(errorM) <= guide.deadbandM) return guidedM;
  const wanted = errorM * Math.min(1, durationS / guide.timeS);
  const most = guide.rateMPerS * durationS;
  return guidedM + Math.min(most, Math.max(-most, wanted));
}

/** The unwinding roll gives a length: `s = r theta - h theta^2/(4 pi)`; at its core a new one is spliced on. */
function unwind(
  plan: Unwind | undefined,
  from: UnwindState | null,
  lengthM: number,
  caliperM: number,
): { readonly state: UnwindState; readonly isNew: boolean } | null {
  if (plan === undefined || from === null) return null;
  const layerM = plan.layerM ?? caliperM;
  const r = from.diameterM / 2;
  const left = r * r - (layerM * lengthM) / PI;
  const core = plan.coreDiameterM / 2;
  if (left <= core * core)
    return {
      state: { diameterM: plan.newDiameterM ?? plan.diameterM, turns: Math.ceil(from.turns) },
      isNew: true,
    };
  const inner = Math.sqrt(left);
  const turned = lengthM / (PI * (r + inner));
  return { state: { diameterM: 2 * inner, turns: from.turns + turned }, isNew: false };
}
