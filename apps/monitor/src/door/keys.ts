import { type Action, actions, isUseWorthWriting, nameKey } from '@edge-margin/access';
import type { KeyView, NewKeyBody } from '@edge-margin/monitoring';
import type { KeyRecords, KeyRow } from '@edge-margin/store-sqlite';
import { randomBytes } from 'node:crypto';
import { hashOfRandom } from './sessions.js';

/** A machine that showed its key. */
export interface KeyHolder {
  readonly id: string;
  readonly label: string;
  readonly actions: readonly Action[];
}

export interface Keys {
  readonly all: () => readonly KeyView[];
  readonly hasLabel: (label: string) => boolean;
  /** The only time that the key itself is there. */
  readonly make: (key: {
    readonly label: string;
    readonly actions: readonly Action[];
    readonly validDays: number;
  }) => NewKeyBody;
  /** Whose key it is, where it counts; its use is written down, at most once a minute. */
  readonly find: (key: string) => KeyHolder | undefined;
  readonly isLive: (id: string) => boolean;
  /** Ends a key; what it was, or undefined where there was none. */
  readonly end: (id: string) => KeyView | undefined;
}

export interface KeysParts {
  readonly records: KeyRecords;
  readonly now: () => number;
  readonly newId: () => string;
}

export function keys({ records, now, newId }: KeysParts): Keys {
  const noteUse = (id: string): void => {
    try {
      records.noteUse(id, now());
    } catch {
      // A full disk keeps no machine out.
    }
  };
  return {
    all: () => records.all().map(viewOf),
    hasLabel: (label) => records.byLabelKey(nameKey(label)) !== undefined,
    make: ({ label, actions: scope, validDays }) => {
      const key = `em_${randomBytes(32).toString('base64url')}`;
      const atMs = now();
      const row: KeyRow = {
        id: newId(),
        label,
        labelKey: nameKey(label),
        beginsWith: key.slice(0, 8),
        keyHash: hashOfRandom(key),
        actions: scope,
        createdAtMs: atMs,
        expiresAtMs: atMs + validDays * 86_400_000,
        lastUsedAtMs: null,
      };
      records.add(row);
      return { key, view: viewOf(row) };
    },
    find: (key) => {
      const row = records.byKeyHash(hashOfRandom(key));
      if (row === undefined || now() >= row.expiresAtMs) return undefined;
      if (isUseWorthWriting(row.lastUsedAtMs, now())) noteUse(row.id);
      return { id: row.id, label: row.label, actions: scopeOf(row) };
    },
    isLive: (id) => now() < (records.byId(id)?.expiresAtMs ?? -Infinity),
    end: (id) => {
      const row = records.byId(id);
      if (row === undefined) return undefined;
      records.end(id);
      return viewOf(row);
    },
  };
}

/** Actions of a newer service are none here. */
function scopeOf(row: KeyRow): readonly Action[] {
  return actions.filter((action) => row.actions.includes(action));
}

function viewOf(row: KeyRow): KeyView {
  const { id, label, beginsWith, createdAtMs, expiresAtMs, lastUsedAtMs } = row;
  return { id, label, beginsWith, actions: scopeOf(row), createdAtMs, expiresAtMs, lastUsedAtMs };
}
