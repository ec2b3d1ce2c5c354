import { execFileSync, spawnSync } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, rmdirSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** A real file system of a few MiB, so that it can really be full. */
export interface SmallDisk {
  readonly directory: string;
  /** Takes all the space that is left. */
  readonly fill: () => void;
  /** Gives it back. */
  readonly free: () => void;
  readonly remount: (how: 'ro' | 'rw') => void;
  readonly dispose: () => void;
}

/** True where this user may mount: root on Linux, or in a container that is allowed to. */
export function canMount(): boolean {
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-mount-'));
  const mounted =
    spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=1m', 'edge-margin-test', directory]).status === 0;
  if (mounted) execFileSync('umount', [directory]);
  rmdirSync(directory);
  return mounted;
}

/** Mounts a memory file system. */
export function mountSmallDisk(mebibytes: number): SmallDisk {
  const directory = mkdtempSync(join(tmpdir(), 'edge-margin-disk-'));
  const filler = join(directory, 'filler');
  execFileSync('mount', ['-t', 'tmpfs', '-o', `size=${mebibytes}m`, 'edge-margin-test', directory]);
  return {
    directory,
    fill: () => {
      const file = openSync(filler, 'w');
      const block = Buffer.alloc(4096, 1);
      try {
        for (;;) writeSync(file, block);
      } catch (error) {
        if ((error as NodeJS.ErrnoException).code !== 'ENOSPC') throw error;
      } finally {
        closeSync(file);
      }
    },
    free: () => rmSync(filler),
    remount: (how) => execFileSync('mount', ['-o', `remount,${how}`, directory]),
    dispose: () => {
      execFileSync('umount', [directory]);
      rmdirSync(directory);
    },
  };
}
