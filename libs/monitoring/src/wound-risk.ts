import type { RiskAtDiameter } from './assessment.js';

/** The highest risk within each step of diameter of the roll so far, core outwards: a bounded history that a restart keeps. */
export interface WoundRisk {
  readonly fromM: number;
  readonly stepM: number;
  /** Highest risk of each step in thousandths; -1 where it was not known. */
  readonly perMille: readonly number[];
}

const steps = 120;

/** An empty history from the core to the planned end of the roll. */
export function emptyWoundRisk(coreDiameterM: number, endDiameterM: number): WoundRisk {
  return { fromM: coreDiameterM, stepM: Math.max(endDiameterM - coreDiameterM, 0.001) / steps, perMille: [] };
}

/** The history after winding on to `diameterM` at `risk` (undefined: not known). Beyond the planned end the last step takes all. */
export function withRiskAt(history: WoundRisk, diameterM: number, risk: number | undefined): WoundRisk {
  const index = Math.min(Math.max(Math.floor((diameterM - history.fromM) / history.stepM), 0), steps);
  const value = risk === undefined ? -1 : Math.round(risk * 1000);
  const last = history.perMille.length - 1;
  if (index <= last && (history.perMille[index] ?? -1) >= value) return history;
  const perMille = history.perMille.slice();
  if (index <= last) perMille[index] = value;
  else for (let step = last + 1; step <= index; step += 1) perMille[step] = value;
  return { ...history, perMille };
}

/** The history as points, without the steps that were not known. */
export function woundRiskPoints(history: WoundRisk): RiskAtDiameter[] {
  const points: RiskAtDiameter[] = [];
  for (const [index, value] of history.perMille.entries()) {
    if (value >= 0)
      points.push({ diameterM: history.fromM + (index + 0.5) * history.stepM, risk: value / 1000 });
  }
  return points;
}

/** The highest known risk of the roll, or null. */
export function highestRisk(history: WoundRisk): number | null {
  const highest = Math.max(-1, ...history.perMille);
  return highest < 0 ? null : highest / 1000;
}
