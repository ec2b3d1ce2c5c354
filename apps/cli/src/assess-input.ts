/** One operating point as it stands in the input, not yet checked. */
export interface QuestionText {
  /** Line on which it stands, from 1; undefined where the whole input is one operating point. */
  readonly line: number | undefined;
  readonly parsed:
    { readonly ok: true; readonly value: unknown } | { readonly ok: false; readonly problem: string };
}

/** Splits the input: the whole of it as one JSON value, or else one JSON value a line (JSON lines; empty lines count but hold nothing). */
export function splitQuestions(text: string): readonly QuestionText[] {
  const whole = parse(text);
  if (whole.ok && !Array.isArray(whole.value)) return [{ line: undefined, parsed: whole }];
  const lines = text.split('\n').map((line, index) => ({ line: index + 1, text: line.trim() }));
  const filled = lines.filter((line) => line.text !== '');
  // One object over several lines with a slip in it: one message, not one a line.
  if (filled.length > 1 && filled.every((line) => !parse(line.text).ok))
    return [{ line: undefined, parsed: whole }];
  return filled.map((line) => ({ line: line.line, parsed: parse(line.text) }));
}

function parse(text: string): QuestionText['parsed'] {
  try {
    return { ok: true, value: JSON.parse(text) as unknown };
  } catch (thrown) {
    return { ok: false, problem: `not JSON: ${thrown instanceof Error ? thrown.message : String(thrown)}` };
  }
}
