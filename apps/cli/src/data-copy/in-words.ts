import type { CopyManifest } from './copy-manifest.js';

/** A copy in half a line: what is in it, how far it reaches, how large it is. */
export function inWords({ store, files }: CopyManifest): string {
  const bytes = files.reduce((sum, file) => sum + file.bytes, 0);
  const segments = files.length - 1;
  return `store of version ${store.version} at position ${store.position}, ${segments} journal ${segments === 1 ? 'file' : 'files'}, ${(bytes / 1e6).toFixed(1)} MB, checked`;
}
