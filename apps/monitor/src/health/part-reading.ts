import type { HealthFigure, PartName, PartState, TroubleSign } from '@edge-margin/monitoring';
import type { Reason } from '@edge-margin/units';

/** How one part stands at one look. */
export interface PartReading {
  readonly part: PartName;
  readonly state: PartState;
  /** The gravest first; empty where the part is ok. */
  readonly because: readonly Reason[];
  /** True where the service cannot do its work because of it. */
  readonly blocks: boolean;
  readonly figures: readonly HealthFigure[];
  /** Every trouble that this part can have, whether it is there or not. One that is left out cannot be told now: it stays as it was. */
  readonly troubles: readonly TroubleSign[];
}

/** A figure of a part. What lies beyond every measure, or was not measured, is not known. */
export function figure(
  name: string,
  label: string,
  value: number | string | null | undefined,
  unit: HealthFigure['unit'],
): HealthFigure {
  const known = value === undefined || (typeof value === 'number' && !Number.isFinite(value)) ? null : value;
  return { name, label, value: known, unit };
}

/** The sign of a trouble that is there, or gone. */
export function sign(
  trouble: TroubleSign['trouble'],
  stage: TroubleSign['stage'],
  because: Reason | undefined,
): TroubleSign {
  return { trouble, stage: because === undefined ? null : stage, because: because ?? over };
}

const over: Reason = { code: 'over', text: 'the trouble is over', params: {} };
