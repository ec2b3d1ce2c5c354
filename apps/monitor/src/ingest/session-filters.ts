import { readFileSync, renameSync, writeFileSync } from 'node:fs';

/**
 * The topic filters that the broker's session for us may hold. A kept session keeps its subscriptions too: what the plant file no longer names
 * must be unsubscribed, and after a restart only a record of our own knows what that is.
 */
export interface SessionFilters {
  readonly read: () => readonly string[];
  /** @throws where the file cannot be written. */
  readonly write: (filters: readonly string[]) => void;
}

/** Whose session it is. */
export interface SessionOwner {
  readonly url: string;
  readonly clientId: string;
}

/** The record in a file of its own. Where it is missing, damaged or of another session nothing is known, and nothing is unsubscribed. */
export function sessionFiltersIn(path: string, owner: SessionOwner): SessionFilters {
  let known = readFile(path, owner);
  return {
    read: () => known,
    write: (filters) => {
      if (JSON.stringify(filters) === JSON.stringify(known)) return;
      writeFileSync(`${path}.new`, JSON.stringify({ ...owner, filters }), { mode: 0o600 });
      renameSync(`${path}.new`, path);
      known = filters;
    },
  };
}

function readFile(path: string, { url, clientId }: SessionOwner): readonly string[] {
  try {
    const record = JSON.parse(readFileSync(path, 'utf8')) as Readonly<Record<string, unknown>>;
    const { filters } = record as { readonly filters?: unknown };
    if (record['url'] !== url || record['clientId'] !== clientId || !Array.isArray(filters)) return [];
    return filters.filter((filter) => typeof filter === 'string');
  } catch {
    return [];
  }
}
