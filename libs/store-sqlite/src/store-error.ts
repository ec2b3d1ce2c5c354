import Database from 'better-sqlite3';

/** What failed, for programs: full and read-only disks, a file of a newer version, a file somebody else holds, a damaged file, any other failure of input or output. */
export type StoreErrorCode = 'disk-full' | 'read-only' | 'newer-version' | 'locked' | 'corrupt' | 'io';

/** The store's file could not be read or written. The transaction under way was rolled back. */
export class StoreError extends Error {
  readonly code: StoreErrorCode;

  constructor(code: StoreErrorCode, message: string, cause?: unknown) {
    super(message, { cause });
    this.name = 'StoreError';
    this.code = code;
  }
}

/** The failure of SQLite or of the file system as a `StoreError`; anything else as it came. */
export function storeErrorOf(error: unknown, path: string): unknown {
  if (error instanceof StoreError || !(error instanceof Error)) return error;
  const raw = 'code' in error && typeof error.code === 'string' ? error.code : '';
  const code = codeOf(raw, error);
  return code === undefined
    ? error
    : new StoreError(code, `${path}: ${sentences[code]} (${error.message})`, error);
}

/** Runs the work and turns failures of the file into `StoreError`s. */
export function guarded<T>(path: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    throw storeErrorOf(error, path);
  }
}

const sentences: Readonly<Record<StoreErrorCode, string>> = {
  'disk-full': 'no space is left for the store',
  'read-only': 'the store may not be written',
  'newer-version': 'the store was written by a newer version of the service',
  locked: 'another process holds the store',
  corrupt: 'the file is damaged or is no store',
  io: 'reading or writing failed',
};

/** Codes: https://sqlite.org/rescode.html (primary codes and their extended ones) and errno names of the file system. */
const codes: readonly (readonly [pattern: RegExp, code: StoreErrorCode])[] = [
  [/^(SQLITE_FULL|ENOSPC|EDQUOT)$/, 'disk-full'],
  [/^(SQLITE_READONLY|SQLITE_PERM|SQLITE_AUTH|EACCES|EPERM|EROFS)/, 'read-only'],
  [/^(SQLITE_BUSY|SQLITE_LOCKED)/, 'locked'],
  [/^(SQLITE_CORRUPT|SQLITE_NOTADB|SQLITE_FORMAT)/, 'corrupt'],
  [/^(SQLITE_IOERR|SQLITE_CANTOPEN|SQLITE_PROTOCOL|SQLITE_NOLFS|ENOENT|ENOTDIR|EISDIR|EIO)/, 'io'],
];

function codeOf(raw: string, error: Error): StoreErrorCode | undefined {
  const known = codes.find(([pattern]) => pattern.test(raw))?.[1];
  if (known !== undefined) return known;
  const directoryMissing = error instanceof TypeError && error.message.includes('directory does not exist');
  return error instanceof Database.SqliteError || directoryMissing ? 'io' : undefined;
}
