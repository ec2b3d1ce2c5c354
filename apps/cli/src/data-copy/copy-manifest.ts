import { createHash } from 'node:crypto';
import { createReadStream, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { z } from 'zod';
import { CopyError } from './copy-error.js';

/** Lies in a copy as `copy.json`: what the copy holds, and how to tell that it still does. */
const manifest = z.object({
  copyVersion: z.literal(1),
  takenAt: z.iso.datetime(),
  store: z.object({ version: z.int(), position: z.int() }),
  files: z.array(
    z.object({
      name: z.string().regex(/^(?:store\.sqlite|journal\/journal-\d{16}\.sqlite)$/),
      bytes: z.int(),
      sha256: z.string().regex(/^[0-9a-f]{64}$/),
    }),
  ),
});

export type CopyManifest = Readonly<z.output<typeof manifest>>;
export type CopiedFile = CopyManifest['files'][number];

export const manifestName = 'copy.json';

/** @throws CopyError where the folder holds no copy that this program knows. */
export function readManifest(folder: string): CopyManifest {
  const path = join(folder, manifestName);
  let text: unknown;
  try {
    text = JSON.parse(readFileSync(path, 'utf8'));
  } catch (error) {
    throw new CopyError(`${path}: no copy is here (${(error as Error).message})`);
  }
  const read = manifest.safeParse(text);
  if (read.success) return read.data;
  throw new CopyError(`${path}: this is no list of a copy that this program knows`);
}

/** Length and digest of a file. */
export async function fileOf(folder: string, name: string): Promise<CopiedFile> {
  const path = join(folder, name);
  const hash = createHash('sha256');
  await pipeline(createReadStream(path), hash);
  return { name, bytes: statSync(path).size, sha256: hash.digest('hex') };
}

/**
 * Compares every file of a copy with what was noted when it was taken.
 * @throws CopyError naming the first file that is missing or has changed.
 */
export async function requireUnchanged(folder: string, files: readonly CopiedFile[]): Promise<void> {
  for (const noted of files) {
    const found = await fileOf(folder, noted.name).catch((error: unknown) => {
      throw new CopyError(`${join(folder, noted.name)}: cannot be read (${(error as Error).message})`);
    });
    if (found.bytes !== noted.bytes || found.sha256 !== noted.sha256)
      throw new CopyError(`${join(folder, noted.name)}: has changed since the copy was taken`);
  }
}
