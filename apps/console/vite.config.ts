import { defineConfig } from 'vite';

/**
 * Builds the pages into `dist/`, which the service serves at `/`. Everything is local and in files of its own, so that a page runs under
 * `script-src 'self'; style-src 'self'`. The condition `source` resolves the libraries to their TypeScript: no library has to be built before.
 */
export default defineConfig({
  root: import.meta.dirname,
  base: '/',
  resolve: { conditions: ['source', 'browser', 'module', 'import', 'default'] },
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    target: ['chrome120', 'firefox120', 'safari17'],
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
    sourcemap: false,
  },
});
