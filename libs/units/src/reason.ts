/**
 * Why something is not known, not used or not possible: a stable `code` for programs, the figures it speaks of,
 * and one sentence for people (figures with their unit, no trailing full stop).
 */
export interface Reason {
  readonly code: string;
  readonly params: Readonly<Record<string, string | number>>;
  readonly text: string;
}

/** Builds a {@link Reason}. `code` is lower-case words with hyphens, e.g. `no-diameter`. */
export function reason(code: string, text: string, params: Reason['params'] = {}): Reason {
  return { code, params, text };
}
