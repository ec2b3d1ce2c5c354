import { openJournal } from '@edge-margin/journal';
import { lockDataDir, openStore, requireSound } from '@edge-margin/store-sqlite';
import { reason } from '@edge-margin/units';
import { mkdirSync, renameSync, rmSync } from 'node:fs';
import { copyFile, open, readdir } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { CopyError } from './copy-error.js';
import { type CopyManifest, readManifest, requireUnchanged } from './copy-manifest.js';

/** Where the data stands after a copy was put back. */
export interface PutBack {
  readonly manifest: CopyManifest;
  /** Journal position of the last row. */
  readonly lastPosition: number;
  /** Where what was there before lies now; undefined where there was nothing. */
  readonly movedTo: string | undefined;
}

export interface PutBackOptions {
  readonly from: string;
  readonly dataDirectory: string;
  /** Move aside what is there already, instead of refusing. */
  readonly replace: boolean;
  readonly nowMs: number;
}

/** Files of the lock, which is held meanwhile. */
const lockFiles = /^lock\.(?:sqlite(?:-journal)?|pid)$/;

/**
 * Puts a copy into a data directory that nobody works in. The copy is checked before anything is touched, and what was there is moved aside,
 * not deleted. The time between the last row of the copy and now is recorded as a gap.
 * @throws CopyError, DataDirLockedError, StoreError, JournalError, or what the file system says.
 */
export async function putBack(options: PutBackOptions): Promise<PutBack> {
  const { from, nowMs, replace } = options;
  const directory = resolve(options.dataDirectory);
  const manifest = readManifest(from);
  await requireUnchanged(from, manifest.files);
  const lock = lockDataDir(directory);
  try {
    const movedTo = await clear(directory, replace, nowMs);
    await lay(from, directory, manifest);
    const lastPosition = await recordGap(directory, manifest.takenAt, nowMs);
    return { manifest, lastPosition, movedTo };
  } finally {
    lock.release();
  }
}

async function clear(directory: string, replace: boolean, nowMs: number): Promise<string | undefined> {
  const names = (await readdir(directory)).filter((name) => !lockFiles.test(name));
  const taking = names.filter((name) => !name.startsWith('replaced-'));
  if (taking.length === 0) return undefined;
  if (!replace)
    throw new CopyError(
      `${directory}: holds data already (${taking.join(', ')}); --replace would move it aside`,
    );
  const aside = join(directory, `replaced-${new Date(nowMs).toISOString().replaceAll(/[:.]/g, '-')}`);
  mkdirSync(aside);
  for (const name of taking) renameSync(join(directory, name), join(aside, name));
  return aside;
}

/** Everything into a folder beside first, so that a directory never holds half a copy under the names that a service opens. */
async function lay(from: string, directory: string, { files }: CopyManifest): Promise<void> {
  const unfinished = join(directory, 'restoring');
  mkdirSync(join(unfinished, 'journal'), { recursive: true });
  try {
    for (const { name } of files) {
      await copyDurably(join(from, name), join(unfinished, name));
      requireSound(join(unfinished, name));
    }
    for (const name of ['journal', 'store.sqlite']) renameSync(join(unfinished, name), join(directory, name));
  } finally {
    rmSync(unfinished, { recursive: true, force: true });
  }
}

async function copyDurably(from: string, to: string): Promise<void> {
  await copyFile(from, to);
  const file = await open(to, 'r+');
  try {
    await file.sync();
  } finally {
    await file.close();
  }
}

/** Opens both as the service will, which checks that they belong together, and notes what is missing from here on. */
async function recordGap(directory: string, takenAt: string, nowMs: number): Promise<number> {
  const journal = await openJournal({ directory: join(directory, 'journal') });
  const last = journal.segments().at(-1);
  const lastPosition = journal.durable();
  await journal.close();
  const store = openStore(join(directory, 'store.sqlite'));
  try {
    if (store.readPosition() > lastPosition)
      throw new CopyError(
        `the store of the copy is ahead of its journal (${store.readPosition()}, ${lastPosition})`,
      );
    store.gaps.record([
      {
        id: `restored:${takenAt}@${nowMs}`,
        what: 'messages',
        fromMs: last?.lastArrivedAtMs ?? Date.parse(takenAt),
        toMs: nowMs,
        count: null,
        because: reason(
          'restored',
          `a copy taken at ${takenAt} was put back: what came after it is not here`,
          {
            takenAt,
          },
        ),
      },
    ]);
  } finally {
    store.close();
  }
  return lastPosition;
}
