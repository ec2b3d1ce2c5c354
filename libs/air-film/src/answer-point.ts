import { type AssessAnswer, assessAnswer } from './assess-answer.js';
import { assessAir } from './assess-air.js';
import { type AssessRequest, assessRequestSchema } from './assess-request.js';
import { exchange } from './exchange.js';
import { remedies } from './ranked-remedies.js';
import { requestProblems } from './request-problems.js';

/** The answer to one operating point, or what is wrong with it: one line a problem, with field, value, unit and sensible range. */
export type PointAnswer =
  | { readonly ok: true; readonly answer: AssessAnswer }
  | { readonly ok: false; readonly problems: readonly string[] };

/** Margin that remedies restore where the request names none: own choice, a tenth of the critical speed in hand. */
const marginWhereNotAsked = 0.1;

/**
 * Checks a request and assesses it: one and the same for the command line and the HTTP API.
 * @param body as it came out of `JSON.parse`.
 */
export function answerPoint(body: unknown): PointAnswer {
  const checked = assessRequestSchema.safeParse(body);
  if (!checked.success) return { ok: false, problems: requestProblems(body, checked.error) };
  try {
    return { ok: true, answer: answered(checked.data) };
  } catch (error) {
    // Figures that are each sensible but not together: a bearing span below the width, say.
    if (error instanceof RangeError) return { ok: false, problems: [error.message] };
    throw error;
  }
}

function answered({ exchangeFor, remedyFor = {}, ...question }: AssessRequest): AssessAnswer {
  const { marginRatio = marginWhereNotAsked, limits, ...context } = remedyFor;
  const restoring = remedies(question, marginRatio, limits, context);
  const answer = assessAnswer(assessAir(question), restoring);
  if (exchangeFor === undefined) return answer;
  const { compensatedBy, limits: within, ...change } = exchangeFor;
  return { ...answer, exchange: exchange(question, change, compensatedBy, within) };
}
