import { parseArgs } from 'node:util';
import type { Command } from './command.js';
import { lineOf } from './data-copy/copy-error.js';
import { inWords } from './data-copy/in-words.js';
import { putBack } from './data-copy/put-back.js';

const usage = 'usage: restore --from FOLDER --data-dir DIR [--replace]';

/** Puts a copy that `backup` took into a data directory. Exit code 0 when it is there, 1 when it was refused, 2 wrongly called. */
export const restore: Command = {
  name: 'restore',
  summary:
    'put such a copy back, the service being stopped: restore --from FOLDER --data-dir DIR [--replace]',
  run: async (args, io) => {
    const asked = askedFor(args);
    if (typeof asked === 'string') {
      io.stderr(`${asked}\n${usage}\n`);
      return 2;
    }
    // It holds what people's passwords are checked with: for the owner's eyes only.
    process.umask(0o077);
    try {
      const { manifest, lastPosition, movedTo } = await putBack({ ...asked, nowMs: Date.now() });
      io.stdout(
        `${asked.dataDirectory}: ${inWords(manifest)}; the journal ends at position ${lastPosition}\n`,
      );
      if (movedTo !== undefined) io.stdout(`what was there before lies in ${movedTo}\n`);
      return 0;
    } catch (error) {
      const line = lineOf(error);
      if (line === undefined) throw error;
      io.stderr(`nothing was put back: ${line}\n`);
      return 1;
    }
  },
};

interface Asked {
  readonly from: string;
  readonly dataDirectory: string;
  readonly replace: boolean;
}

function askedFor(args: readonly string[]): Asked | string {
  try {
    const { values } = parseArgs({
      args: [...args],
      options: {
        from: { type: 'string' },
        'data-dir': { type: 'string' },
        replace: { type: 'boolean', default: false },
      },
    });
    const { from, 'data-dir': dataDirectory, replace } = values;
    if (from === undefined) return '--from is needed: the folder that backup made';
    if (dataDirectory === undefined) return '--data-dir is needed: the DATA_DIR of the service';
    return { from, dataDirectory, replace };
  } catch (thrown) {
    return thrown instanceof Error ? thrown.message : String(thrown);
  }
}
