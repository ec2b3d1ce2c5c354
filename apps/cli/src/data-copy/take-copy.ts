import { backUpDatabase, describeStore } from '@edge-margin/store-sqlite';
import { existsSync, mkdirSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { CopyError } from './copy-error.js';
import { type CopyManifest, fileOf, manifestName } from './copy-manifest.js';
import { dataFiles } from './data-files.js';

/** A copy that was taken, and what was left out of it. */
export interface TakenCopy {
  readonly manifest: CopyManifest;
  readonly leftOut: readonly string[];
}

/**
 * Copies a data directory that a service may be working in: the store as it is at one moment, then the journal, oldest segment first. So the
 * journal reaches at least as far as the store, and a service that is started on the copy folds the rest. The folder appears when it is complete.
 * @param to A folder that does not exist or is empty.
 * @throws CopyError, StoreError or what the file system says; then nothing is left of the copy.
 */
export async function takeCopy(dataDirectory: string, to: string, nowMs: number): Promise<TakenCopy> {
  const target = resolve(to);
  requireFree(target);
  if (!existsSync(join(dataDirectory, 'store.sqlite')))
    throw new CopyError(`${dataDirectory}: no store is here, so nothing can be copied`);
  const unfinished = `${target}.unfinished`;
  rmSync(unfinished, { recursive: true, force: true });
  mkdirSync(dirname(target), { recursive: true });
  mkdirSync(join(unfinished, 'journal'), { recursive: true, mode: 0o700 });
  try {
    const taken = await fill(dataDirectory, unfinished, nowMs);
    renameSync(unfinished, target);
    return taken;
  } catch (error) {
    rmSync(unfinished, { recursive: true, force: true });
    throw error;
  }
}

async function fill(dataDirectory: string, folder: string, nowMs: number): Promise<TakenCopy> {
  const names = ['store.sqlite'];
  await backUpDatabase(join(dataDirectory, 'store.sqlite'), join(folder, 'store.sqlite'));
  // Only now: segments that were begun meanwhile belong to it too.
  const { journal, others } = dataFiles(dataDirectory);
  for (const name of journal) {
    if (await copySegment(dataDirectory, folder, name)) names.push(name);
  }
  const files = [];
  for (const name of names) files.push(await fileOf(folder, name));
  const store = describeStore(join(folder, 'store.sqlite'));
  const manifest: CopyManifest = {
    copyVersion: 1,
    takenAt: new Date(nowMs).toISOString(),
    store: { version: store.version, position: store.position },
    files,
  };
  writeFileSync(join(folder, manifestName), `${JSON.stringify(manifest, null, 2)}\n`, { mode: 0o600 });
  return { manifest, leftOut: others };
}

/** False where the service let go of the segment between the listing and now: it holds nothing that the store lacks. */
async function copySegment(dataDirectory: string, folder: string, name: string): Promise<boolean> {
  try {
    await backUpDatabase(join(dataDirectory, name), join(folder, name));
    return true;
  } catch (error) {
    if (!existsSync(join(dataDirectory, name))) return false;
    throw error;
  }
}

function requireFree(folder: string): void {
  if (existsSync(folder) && readdirSync(folder).length > 0)
    throw new CopyError(
      `${folder}: holds something already; a folder that is empty or does not exist is needed`,
    );
}
