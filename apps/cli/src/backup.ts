import { parseArgs } from 'node:util';
import type { Command } from './command.js';
import { lineOf } from './data-copy/copy-error.js';
import { inWords } from './data-copy/in-words.js';
import { takeCopy } from './data-copy/take-copy.js';

const usage = 'usage: backup --data-dir DIR --to FOLDER';

/** Copies a data directory while the service works in it. Exit code 0 when the copy is complete and checked, 1 when there is none, 2 wrongly called. */
export const backup: Command = {
  name: 'backup',
  summary: 'copy a data directory, also of a running service: backup --data-dir DIR --to FOLDER',
  run: async (args, io) => {
    const asked = askedFor(args);
    if (typeof asked === 'string') {
      io.stderr(`${asked}\n${usage}\n`);
      return 2;
    }
    // It holds what people's passwords are checked with: for the owner's eyes only.
    process.umask(0o077);
    try {
      const { manifest, leftOut } = await takeCopy(asked.dataDirectory, asked.to, Date.now());
      io.stdout(`${asked.to}: ${inWords(manifest)}\n`);
      if (leftOut.length > 0) io.stdout(`left out: ${leftOut.join(', ')}\n`);
      return 0;
    } catch (error) {
      const line = lineOf(error);
      if (line === undefined) throw error;
      io.stderr(`no copy was taken: ${line}\n`);
      return 1;
    }
  },
};

interface Asked {
  readonly dataDirectory: string;
  readonly to: string;
}

function askedFor(args: readonly string[]): Asked | string {
  try {
    const { values } = parseArgs({
      args: [...args],
      options: { 'data-dir': { type: 'string' }, to: { type: 'string' } },
    });
    const { 'data-dir': dataDirectory, to } = values;
    if (dataDirectory === undefined) return '--data-dir is needed: the DATA_DIR of the service';
    if (to === undefined) return '--to is needed: the folder that the copy becomes';
    return { dataDirectory, to };
  } catch (thrown) {
    return thrown instanceof Error ? thrown.message : String(thrown);
  }
}
