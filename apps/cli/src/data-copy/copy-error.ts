/** A copy that cannot be taken or put back. The message is one line. */
export class CopyError extends Error {
  override readonly name = 'CopyError';
}

/** Failures with a code are somebody's disk, lock or file; anything else is a fault of the program and keeps its stack. */
export function lineOf(error: unknown): string | undefined {
  if (error instanceof CopyError) return error.message;
  return error instanceof Error && 'code' in error && typeof error.code === 'string'
    ? error.message
    : undefined;
}
