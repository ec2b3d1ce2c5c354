import { openStore, type Store } from '@edge-margin/store-sqlite';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { attemptBook } from './attempt-book.js';
import { passwordHashes } from './password-hashes.js';
import { type People, people } from './people.js';
import { type Proofs, proofs } from './proofs.js';

const password = 'the winder hums at six';

describe('proving who one is', () => {
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-proofs-'));
  let store: Store;
  let everybody: People;
  let proving: Proofs;
  let nowMs = 1_790_000_000_000;
  let steadyMs = 0;
  let id = '';

  beforeAll(async () => {
    store = openStore(join(directory, 'store.sqlite'));
    const hashes = await passwordHashes();
    let count = 0;
    const now = () => nowMs;
    everybody = people({ records: store.door.people, hashes, now, newId: () => `p${(count += 1)}` });
    proving = proofs({ records: store.door.people, hashes, book: attemptBook(() => steadyMs), now });
    const made = await everybody.add({ name: 'Rosa Weber', role: 'operator', password });
    id = made.ok ? made.person.id : '';
    await everybody.setPin(id, '4711');
  });

  afterAll(() => {
    store.close();
    rmSync(directory, { recursive: true, force: true });
  });

  const prove = async (
    secret: string,
    address: string,
    accepts: 'password' | 'password or PIN' = 'password or PIN',
  ) => {
    const proof = await proving.prove({ name: 'rosa  WEBER', secret, address, accepts });
    return proof.ok ? proof.person.name : proof.because;
  };

  it('stores what the passwords are compared with as Argon2id with at least 19 MiB and two passes', () => {
    const row = store.door.people.byId(id);
    for (const hash of [row?.passwordHash, row?.pinHash])
      expect(hash).toMatch(/^\$argon2id\$v=19\$m=19456,t=2,p=1\$/);
    expect(JSON.stringify(row)).not.toContain(password);
  });

  it('takes the password under each way of writing the name, and gives the name as it was made', async () => {
    expect(await prove(password, 'screen')).toBe('Rosa Weber');
    expect(await prove('the winder hums at seven', 'elsewhere')).toBe('wrong');
  });

  it('takes the PIN for single actions only', async () => {
    expect(await prove('4711', 'screen')).toBe('Rosa Weber');
    expect(await prove('4711', 'screen', 'password')).toBe('wrong');
    expect(await prove('4712', 'screen')).toBe('wrong');
  });

  it('needs as long for names that nobody has', async () => {
    const timed = async (name: string, address: string): Promise<number> => {
      const from = performance.now();
      await proving.prove({ name, secret: 'something wrong', address, accepts: 'password' });
      return performance.now() - from;
    };
    const known: number[] = [];
    const unknown: number[] = [];
    for (let tries = 0; tries < 5; tries += 1) {
      steadyMs += 3_600_000;
      known.push(await timed('Rosa Weber', `a${tries}`));
      unknown.push(await timed(`nobody ${tries}`, `b${tries}`));
    }
    // The fastest of five each: a hash takes tens of ms, an answer without one would take under 1 ms.
    expect(Math.min(...unknown)).toBeGreaterThan(Math.min(...known) / 4);
  });

  it('goes on at the known screen while the name is hammered from elsewhere, and says wait there', async () => {
    steadyMs += 3_600_000;
    const answers = new Set<string>();
    for (let tries = 0; tries < 200; tries += 1)
      answers.add(await prove(`guess number ${tries}`, 'attacker'));
    expect([...answers].sort()).toEqual(['wait', 'wrong']);
    expect(await prove('4711', 'screen')).toBe('Rosa Weber');
    expect(await prove(password, 'screen')).toBe('Rosa Weber');
  });

  it('takes nobody who may not come in any more', async () => {
    steadyMs += 3_600_000;
    const boss = await everybody.add({
      name: 'Boss',
      role: 'administrator',
      password: 'twelve roots of unity',
    });
    expect(boss.ok).toBe(true);
    const proving2 = prove(password, 'screen');
    await everybody.change(id, { active: false });
    expect(['wrong', 'Rosa Weber']).toContain(await proving2);
    expect(await prove(password, 'screen')).toBe('wrong');
    nowMs += 1;
    expect(await everybody.change(boss.ok ? boss.person.id : '', { role: 'viewer' })).toEqual({
      ok: false,
      because: 'last-administrator',
    });
  });
});
