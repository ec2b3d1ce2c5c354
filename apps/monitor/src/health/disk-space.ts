import { statfs } from 'node:fs/promises';

export interface DiskSpace {
  /** What an unprivileged process may still take. */
  readonly freeBytes: number;
  readonly sizeBytes: number;
}

/** Space on the disk that holds a folder, or undefined where it cannot be told. */
export async function diskSpace(directory: string): Promise<DiskSpace | undefined> {
  try {
    const { bavail, blocks, bsize } = await statfs(directory);
    return { freeBytes: bavail * bsize, sizeBytes: blocks * bsize };
  } catch {
    return undefined;
  }
}
