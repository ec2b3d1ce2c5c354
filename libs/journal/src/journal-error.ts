import { accessSync, constants, statfsSync } from 'node:fs';

/**
 * What is wrong with the journal's disk.
 * - `disk-full`, `read-only`, `io`: tried again until it works; what is pending stays pending.
 * - `corrupt`: a file is damaged, or positions have a gap or an overlap. Nothing is written any more; a person must look.
 */
export type JournalErrorCode = 'disk-full' | 'read-only' | 'io' | 'corrupt';

/** A failure of the journal's disk or files. */
export class JournalError extends Error {
  override readonly name = 'JournalError';
  readonly code: JournalErrorCode;
  constructor(code: JournalErrorCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.code = code;
  }
}

/** Below this much free space a vague failure means "full": SQLite reports some of them as I/O errors. */
const fullBelowBytes = 256 * 1024;

/**
 * Says what a failure means.
 * @param cause SQLite's or the system's code and text.
 * @param directory Where the segments are; asked for free space and write access where the code alone does not tell.
 */
export function journalErrorFor(
  cause: { readonly code?: string | undefined; readonly message: string },
  directory: string,
): JournalError {
  const code = cause.code ?? '';
  const kind = meaningOf(code) ?? stateOf(directory) ?? 'io';
  return new JournalError(kind, `The journal cannot be written: ${cause.message} (${code || 'no code'})`, {
    cause,
  });
}

function meaningOf(code: string): JournalErrorCode | undefined {
  if (/^(SQLITE_FULL|ENOSPC|EDQUOT)/.test(code)) return 'disk-full';
  if (/^(SQLITE_READONLY|EROFS|EACCES|EPERM)/.test(code)) return 'read-only';
  if (/^(SQLITE_CORRUPT|SQLITE_NOTADB|SQLITE_CONSTRAINT|JOURNAL_CORRUPT)/.test(code)) return 'corrupt';
  return undefined;
}

function stateOf(directory: string): JournalErrorCode | undefined {
  try {
    const { bavail, bsize } = statfsSync(directory);
    if (bavail * bsize < fullBelowBytes) return 'disk-full';
    accessSync(directory, constants.W_OK);
    return undefined;
  } catch (error) {
    return meaningOf((error as NodeJS.ErrnoException).code ?? '');
  }
}
