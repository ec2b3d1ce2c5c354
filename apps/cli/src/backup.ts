import { parseArgs } from 'node:util';
import type { Command } from './command.js';
import { copyRun } from './data-copy/copy-run.js';
import { inWords } from './data-copy/in-words.js';
import { takeCopy } from './data-copy/take-copy.js';

interface Asked {
  readonly dataDirectory: string;
  readonly to: string;
}

/** Copies a data directory while the service works in it. Exit code 0 when the copy is complete and checked, 1 when there is none, 2 wrongly called. */
export const backup: Command = {
  name: 'backup',
  summary: 'copy a data directory, also of a running service: backup --data-dir DIR --to FOLDER',
  run: copyRun<Asked>({
    usage: 'usage: backup --data-dir DIR --to FOLDER',
    refusal: 'no copy was taken',
    read: (args) => {
      const options = { 'data-dir': { type: 'string' }, to: { type: 'string' } } as const;
      const { 'data-dir': dataDirectory, to } = parseArgs({ args, options }).values;
      if (dataDirectory === undefined) return '--data-dir is needed: the DATA_DIR of the service';
      if (to === undefined) return '--to is needed: the folder that the copy becomes';
      return { dataDirectory, to };
    },
    work: async ({ dataDirectory, to }) => {
      const { manifest, leftOut } = await takeCopy(dataDirectory, to, Date.now());
      return [
        `${to}: ${inWords(manifest)}`,
        ...(leftOut.length > 0 ? [`left out: ${leftOut.join(', ')}`] : []),
      ];
    },
  }),
};
