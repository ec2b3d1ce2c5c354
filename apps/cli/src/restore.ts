import { parseArgs } from 'node:util';
import type { Command } from './command.js';
import { copyRun } from './data-copy/copy-run.js';
import { inWords } from './data-copy/in-words.js';
import { putBack } from './data-copy/put-back.js';

interface Asked {
  readonly from: string;
  readonly dataDirectory: string;
  readonly replace: boolean;
}

/** Puts a copy that `backup` took into a data directory. Exit code 0 when it is there, 1 when it was refused, 2 wrongly called. */
export const restore: Command = {
  name: 'restore',
  summary:
    'put such a copy back, the service being stopped: restore --from FOLDER --data-dir DIR [--replace]',
  run: copyRun<Asked>({
    usage: 'usage: restore --from FOLDER --data-dir DIR [--replace]',
    refusal: 'nothing was put back',
    read: (args) => {
      const options = {
        from: { type: 'string' },
        'data-dir': { type: 'string' },
        replace: { type: 'boolean', default: false },
      } as const;
      const { from, 'data-dir': dataDirectory, replace } = parseArgs({ args, options }).values;
      if (from === undefined) return '--from is needed: the folder that backup made';
      if (dataDirectory === undefined) return '--data-dir is needed: the DATA_DIR of the service';
      return { from, dataDirectory, replace };
    },
    work: async (asked) => {
      const { manifest, lastPosition, movedTo } = await putBack({ ...asked, nowMs: Date.now() });
      return [
        `${asked.dataDirectory}: ${inWords(manifest)}; the journal ends at position ${lastPosition}`,
        ...(movedTo === undefined ? [] : [`what was there before lies in ${movedTo}`]),
      ];
    },
  }),
};
