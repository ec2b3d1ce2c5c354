import type { Grade } from '@edge-margin/plant';
import { type Reason, reason } from '@edge-margin/units';
import { inputText, type Inputs } from './inputs.js';
import type { StationModel } from './model.js';

/** The grade that is being wound. Where the plant file does not know it, the station's usual grade stands in for geometry, with the reason. */
export interface GradeNow {
  readonly grade: Grade;
  readonly because: Reason | null;
}

/** The grade that the grade signal names, or the station's usual one where none has come. */
export function gradeNow(model: StationModel, inputs: Inputs): GradeNow {
  const { grades, station } = model.context;
  const asked = inputText(inputs, 'grade') ?? station.defaultGrade;
  const grade = grades.get(asked);
  if (grade !== undefined) return { grade, because: null };
  const usual = grades.get(station.defaultGrade);
  // The checks of the plant file refuse a default grade that is not there.
  if (usual === undefined)
    throw new RangeError(`defaultGrade: ${station.defaultGrade} is not among the grades`);
  return {
    grade: usual,
    because: reason('unknown-grade', `the plant file has no grade ${asked}`, { grade: asked }),
  };
}
