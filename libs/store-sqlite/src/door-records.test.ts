import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore } from './open-store.js';
import type { Store } from './store.js';

let directory = '';
let store: Store;
const reopen = (): void => {
  store.close();
  store = openStore(join(directory, 'store.sqlite'));
};
beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'edge-margin-store-'));
  store = openStore(join(directory, 'store.sqlite'));
});
afterEach(() => {
  store.close();
  rmSync(directory, { recursive: true, force: true });
});

const rosa = {
  id: 'p1',
  name: 'Rosa <b>Weber</b>',
  nameKey: 'rosa <b>weber</b>',
  role: 'operator',
  passwordHash: '$argon2id$1',
  pinHash: null,
  active: true,
  createdAtMs: 5,
};
const session = (idHash: string, createdAtMs: number, personId = 'p1') => ({
  idHash,
  personId,
  createdAtMs,
  lastUsedAtMs: createdAtMs,
});

describe('the records of the door', () => {
  it('keep people as they were given, changes included, over a restart', () => {
    store.door.people.put(rosa);
    store.door.people.put({ ...rosa, role: 'engineer', pinHash: '$argon2id$2', active: false });
    reopen();
    const changed = { ...rosa, role: 'engineer', pinHash: '$argon2id$2', active: false };
    expect(store.door.people.all()).toEqual([changed]);
    expect(store.door.people.byId('p1')).toEqual(changed);
    expect(store.door.people.byNameKey(rosa.nameKey)).toEqual(changed);
    expect(store.door.people.byNameKey('nobody')).toBeUndefined();
  });

  it('have one person to a name', () => {
    store.door.people.put(rosa);
    expect(() => store.door.people.put({ ...rosa, id: 'p2' })).toThrow(/UNIQUE/);
  });

  it('know the last addresses where a person was right, as long as asked', () => {
    for (const [index, address] of ['a', 'b', 'c'].entries())
      store.door.people.noteAddress('p1', address, 100 + index, 2);
    expect(store.door.people.isFamiliar('p1', 'a', 0)).toBe(false);
    expect(store.door.people.isFamiliar('p1', 'b', 101)).toBe(true);
    expect(store.door.people.isFamiliar('p1', 'b', 102)).toBe(false);
    expect(store.door.people.isFamiliar('p2', 'c', 0)).toBe(false);
    expect(store.door.people.isKnownAddress('c', 102)).toBe(true);
    expect(store.door.people.isKnownAddress('c', 103)).toBe(false);
    expect(store.door.people.isKnownAddress('a', 0)).toBe(false);
  });

  it('keep the newest sessions of each person and end them one by one or all', () => {
    for (let count = 0; count < 4; count += 1) store.door.sessions.add(session(`s${count}`, count), 3);
    store.door.sessions.add(session('other', 0, 'p2'), 3);
    reopen();
    expect(store.door.sessions.byIdHash('s0')).toBeUndefined();
    expect(store.door.sessions.byIdHash('s1')).toEqual(session('s1', 1));
    store.door.sessions.noteUse('s1', 77);
    expect(store.door.sessions.byIdHash('s1')?.lastUsedAtMs).toBe(77);
    store.door.sessions.end('s1');
    expect(store.door.sessions.byIdHash('s1')).toBeUndefined();
    store.door.sessions.endAllOf('p1');
    expect(store.door.sessions.byIdHash('s3')).toBeUndefined();
    expect(store.door.sessions.byIdHash('other')).toBeDefined();
  });

  it('forget sessions that are over', () => {
    store.door.sessions.add(session('old', 10), 9);
    store.door.sessions.add(session('idle', 100), 9);
    store.door.sessions.add(session('used', 100), 9);
    store.door.sessions.noteUse('used', 500);
    store.door.sessions.forget(50, 200);
    expect(['old', 'idle', 'used'].map((id) => store.door.sessions.byIdHash(id) !== undefined)).toEqual([
      false,
      false,
      true,
    ]);
  });

  it('find keys by hash, id and label, and end them', () => {
    const key = {
      id: 'k1',
      label: 'MES',
      labelKey: 'mes',
      beginsWith: 'em_12345',
      keyHash: 'hash',
      actions: ['view', 'acknowledge-alarm'],
      createdAtMs: 1,
      expiresAtMs: 9,
      lastUsedAtMs: null,
    };
    store.door.keys.add(key);
    store.door.keys.noteUse('k1', 4);
    reopen();
    expect(store.door.keys.all()).toEqual([{ ...key, lastUsedAtMs: 4 }]);
    expect(store.door.keys.byKeyHash('hash')?.id).toBe('k1');
    expect(store.door.keys.byLabelKey('mes')?.id).toBe('k1');
    store.door.keys.end('k1');
    expect(store.door.keys.byId('k1')).toBeUndefined();
  });

  it('keep the audit in order, newest first, and forget by age and by number', () => {
    for (let atMs = 1; atMs <= 6; atMs += 1)
      store.door.audit.add(
        {
          atMs,
          actor: atMs === 1 ? null : 'Rosa',
          what: 'sign-in',
          subject: null,
          from: '::1',
          detail: null,
        },
        atMs % 2 === 0 ? 'synced' : 'may wait',
      );
    const times = (fromMs = 0, toMs = 99, limit = 10) =>
      store.door.audit.query({ fromMs, toMs, limit }).map(({ atMs }) => atMs);
    expect(times()).toEqual([6, 5, 4, 3, 2, 1]);
    expect(times(2, 4)).toEqual([4, 3, 2]);
    expect(times(0, 99, 2)).toEqual([6, 5]);
    expect(store.door.audit.forget(3, 1000, 100)).toBe(2);
    expect(times()).toEqual([6, 5, 4, 3]);
    expect(store.door.audit.forget(0, 2, 1)).toBe(1);
    expect(store.door.audit.forget(0, 2, 100)).toBe(1);
    expect(times()).toEqual([6, 5]);
    expect(store.door.audit.forget(0, 2, 100)).toBe(0);
  });

  it('go on committing in the usual way after a synced write', () => {
    store.door.people.put(rosa);
    expect(store.commitBatch({ position: 1 }).applied).toBe(true);
  });
});
