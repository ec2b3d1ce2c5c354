import Database from 'better-sqlite3';
import type { CompiledQuery } from 'kysely';
import { migrate, readVersion } from './migrate.js';
import { guarded, StoreError } from './store-error.js';
import { allMigrations } from './migrations/all-migrations.js';

export interface ConnectionOptions {
  /** Reads only; the file must exist and be of the newest version. */
  readonly readOnly?: boolean;
  /** Wait this long for somebody else's lock on the file, ms. */
  readonly busyTimeoutMs?: number;
  /** Hard limit of the file, bytes: what would grow it beyond fails as `disk-full`. */
  readonly maxFileBytes?: number;
}

/** The open file: queries of the query builder run at once (each text is prepared once), failures are `StoreError`s. */
export interface Connection {
  readonly path: string;
  readonly prepare: (sql: string) => Database.Statement;
  readonly all: <Row>(query: CompiledQuery<Row>) => Row[];
  /** The number that a pragma gives. */
  readonly pragma: (source: string) => number;
  /** One transaction; rolled back, and `onRollback` called, if the work throws. Inside another one it takes part in that. */
  readonly transaction: <T>(work: () => T) => T;
  readonly onRollback: (forget: () => void) => void;
  /** Runs the work with failures of the file as `StoreError`s. */
  readonly guard: <T>(work: () => T) => T;
  /** Runs a pragma to its end and gives its first row. */
  readonly pragmaRow: (source: string) => Readonly<Record<string, number>>;
  readonly close: () => void;
}

/**
 * Opens the file, makes or migrates it, and sets it up.
 * @throws StoreError
 */
export function openConnection(path: string, options: ConnectionOptions = {}): Connection {
  const readOnly = options.readOnly === true;
  const database = guarded(
    path,
    () =>
      new Database(path, {
        readonly: readOnly,
        fileMustExist: readOnly,
        timeout: options.busyTimeoutMs ?? 5000,
      }),
  );
  try {
    guarded(path, () => (readOnly ? refuseOldVersion(database) : setUp(database, options)));
  } catch (error) {
    database.close();
    throw error;
  }
  return connectionOf(database, path);
}

function setUp(database: Database.Database, options: ConnectionOptions): void {
  readVersion(database);
  database.pragma('auto_vacuum = INCREMENTAL'); // takes effect in a new file only
  database.pragma('journal_mode = WAL');
  database.pragma('synchronous = NORMAL');
  database.pragma('wal_autocheckpoint = 4000'); // 16 MB: pages that every batch touches are copied and synced less often
  database.pragma('cache_size = -32768');
  database.pragma('temp_store = MEMORY');
  database.pragma('journal_size_limit = 67108864');
  migrate(database);
  if (options.maxFileBytes !== undefined) {
    const pageSize = Number(database.pragma('page_size', { simple: true }));
    database.pragma(`max_page_count = ${Math.floor(options.maxFileBytes / pageSize)}`);
  }
}

function refuseOldVersion(database: Database.Database): void {
  const newest = allMigrations.at(-1)?.version ?? 0;
  const version = readVersion(database);
  if (version === newest) return;
  const message = `${database.name}: version ${version} must be brought to version ${newest} first; open it for writing once`;
  throw new StoreError('read-only', message);
}

function connectionOf(database: Database.Database, path: string): Connection {
  const statements = new Map<string, Database.Statement>();
  const forgetters: (() => void)[] = [];
  const guard = <T>(work: () => T): T => guarded(path, work);
  const prepare = (sql: string): Database.Statement => guard(() => database.prepare(sql));
  const statementOf = (sql: string): Database.Statement => {
    const statement = statements.get(sql) ?? prepare(sql);
    statements.set(sql, statement);
    return statement;
  };
  const within = database.transaction((work: () => unknown) => work());
  const transaction = <T>(work: () => T): T => {
    if (database.inTransaction) return work();
    try {
      return guard(() => within.immediate(work) as T);
    } catch (error) {
      for (const forget of forgetters) forget();
      throw error;
    }
  };
  return {
    path,
    prepare,
    all: <Row>(query: CompiledQuery<Row>) =>
      guard(() => statementOf(query.sql).all(...query.parameters) as Row[]),
    pragma: (source) => guard(() => Number(database.pragma(source, { simple: true }))),
    pragmaRow: (source) =>
      guard(() => (database.pragma(source) as readonly Record<string, number>[])[0] ?? {}),
    transaction,
    onRollback: (forget) => forgetters.push(forget),
    guard,
    close: () => guard(() => database.close()),
  };
}
